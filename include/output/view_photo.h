#ifndef WOAD_OUTPUT_VIEW_PHOTO_H
#define WOAD_OUTPUT_VIEW_PHOTO_H

#include "output/views.h"
#include "questions/measured_photo.h"

/* A photo as it stands in a list of those that came in. */
struct view_waiting {
    const char *id;
    const char *name;
    bool kept; /* its readings are in the inventory */
};

/** The photos that came in through the page, and where to drop more. */
void view_photos(FILE *out, const struct view_frame *frame, const struct view_waiting *photos,
                 size_t count);

/** A photo that came from a phone and is not measured before one says so. */
void view_asking(FILE *out, const struct view_frame *frame, const char *id);

/* A cell as its form has it. */
struct view_cell {
    const char *ink;
    bool wet;
    bool left_out;
};

/* A photo with what was found in it; texts as they were told, empty where nothing was. */
struct view_photo {
    const char *id;
    const struct measured_photo *measured; /* as far as it came */
    const char *refusal;                   /* why it can't be measured; NULL: it was */
    const struct view_cell *cells;         /* of its first chart; NULL without */
    const struct inventory_inks *inks;     /* whose names complete what is typed */
    bool kept;
    bool old_card;
    const char *name, *came, *changed, *chart, *batch, *paper, *at, *inked_at, *card_at, *chart_at,
        *rows, *columns, *laid, *again, *fresh;
};

void view_photo(FILE *out, const struct view_frame *frame, const struct view_photo *photo);

#endif
