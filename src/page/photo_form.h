#ifndef WOAD_PAGE_PHOTO_FORM_H
#define WOAD_PAGE_PHOTO_FORM_H

#include "fields.h"
#include "questions/measured_photo.h"
#include "visit.h"

/*
 * What a form tells of a photo, in the terms it is measured in. Fields: name,
 * chart, batch, paper, card, at, inked_at, card_at, chart_at, rows, columns,
 * which, again, new; and for each cell ROW-COLUMN: ink-, wet-, out-.
 */
struct photo_form {
    struct photo_told told; /* borrows from here and from the fields */
    struct names names;
    bool *named;
};

/**
 * Read a form.
 *
 * Shape:   names are written to `names_path` and read back as any names file is.
 * Owns:    the caller releases `form` with photo_form_release, also on failure; it borrows
 * `fields`. Returns: STATUS_OK; STATUS_USAGE for what is no time, number or corners; as names_read;
 * STATUS_FILE.
 */
MUST_USE enum status photo_form_read(const struct fields *fields, const struct page *page,
                                     const char *names_path, struct photo_form *form,
                                     struct error *error);
void photo_form_release(struct photo_form *form);

/** Cells marked as wet were made just when the photo was taken, if nothing better is told. */
void photo_form_mark_wet(const struct fields *fields, const struct photo_time *taken,
                         struct photo_form *form);

/**
 * Lay out names as they were pasted, parted by tabs, commas or semicolons, as fields of cells.
 *
 * Returns: STATUS_OK; STATUS_MEMORY.
 */
MUST_USE enum status photo_form_lay_out(const struct fields *fields, struct text *laid,
                                        struct error *error);

/** Tell the command line that measures the same. */
void photo_form_tell_command(struct visit *visit, const struct fields *fields);

#endif
