#include "files/names.h"

#include "base/memory.h"
#include "base/utf8.h"
#include "values/calendar.h"
#include "files/csv.h"

#include <ctype.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* Where in the file a name stands, for the messages. */
struct names_place {
    const char *path;
    int row; /* from 1 */
    int column;
};

void names_release(struct names *names)
{
    free(names->cells);
    memset(names, 0, sizeof *names);
}

const struct name *names_at(const struct names *names, int row, int column)
{
    return &names->cells[(row - 1) * names->columns + column - 1];
}

void names_label(int row, int column, char label[NAMES_LABEL_SIZE])
{
    int letter = (row - 1) % 26;

    if (row > 26)
        snprintf(label, NAMES_LABEL_SIZE, "%c%c%d", 'A' + (row - 27) / 26 % 26, 'A' + letter,
                 column);
    else
        snprintf(label, NAMES_LABEL_SIZE, "%c%d", 'A' + letter, column);
}

const char *names_of_cell(const struct names *names, int row, int column,
                          char label[NAMES_LABEL_SIZE])
{
    if (names)
        return names_at(names, row, column)->ink;
    names_label(row, column, label);
    return label;
}

/* --- one field ------------------------------------------------------------------------------ */

/* Part "Ink name @ 2026-05-03 10:20"; an @ before anything but a digit belongs to the name. */
static enum status part_time(const struct names_place *place, char *text,
                             struct photo_time *inked_at, struct error *error)
{
    char *at = strrchr(text, '@');
    const char *time = at ? at + 1 + strspn(at + 1, " ") : NULL;
    struct error reason;

    if (!time || !isdigit((unsigned char)*time))
        return STATUS_OK;
    if (calendar_parse(time, inked_at, &reason))
        return error_set(error, STATUS_FORMAT,
                         "%s: row %d, field %d: behind the @ stands a time that can't be: %s",
                         place->path, place->row, place->column, reason.message);
    *at = '\0';
    csv_tidy(text);
    return STATUS_OK;
}

/* Part "Ink name [batch]"; a bracket anywhere but at the end belongs to the name. */
static enum status part_batch(const struct names_place *place, char *text, struct name *name,
                              struct error *error)
{
    size_t length = strlen(text);
    char *open = length && text[length - 1] == ']' ? strrchr(text, '[') : NULL;
    char *batch = open ? open + 1 : NULL;

    if (!open || open == text)
        return STATUS_OK;
    text[length - 1] = '\0';
    csv_tidy(batch);
    if (!batch[0] || strlen(batch) > NAMES_BATCH_BYTES_MAX)
        return error_set(error, STATUS_FORMAT,
                         "%s: row %d, field %d: the brackets hold '%.80s'; a batch is 1 to %d "
                         "bytes: write \"Ink name [7]\"",
                         place->path, place->row, place->column, batch, NAMES_BATCH_BYTES_MAX);
    memcpy(name->batch, batch, strlen(batch) + 1);
    *open = '\0';
    csv_tidy(text);
    return STATUS_OK;
}

static enum status name_from_field(const struct names_place *place, char *text, struct name *name,
                                   struct error *error)
{
    enum status status;

    csv_tidy(text);
    if (!utf8_is_plain(text))
        return error_set(error, STATUS_FORMAT,
                         "%s: row %d, field %d holds a character that can't be seen; ink names are "
                         "plain text: save the sheet as CSV again",
                         place->path, place->row, place->column);
    status = part_time(place, text, &name->inked_at, error);
    if (!status)
        status = part_batch(place, text, name, error);
    if (status)
        return status;
    if (!utf8_tidy(text, name->ink, sizeof name->ink))
        return error_set(error, STATUS_FORMAT,
                         "%s: row %d, field %d: the name '%.40s...' is %zu bytes long, at most %d "
                         "are kept; shorten it",
                         place->path, place->row, place->column, text, strlen(text),
                         NAMES_INK_BYTES_MAX);
    return STATUS_OK;
}

/* --- the whole file ------------------------------------------------------------------------- */

static enum status check_shape(const char *path, const struct csv *csv, struct error *error)
{
    for (size_t line = 1; line <= csv->line_count; line++) {
        size_t width = csv_width(csv, line);

        if (width > NAMES_SIDE_MAX || csv->line_count > NAMES_SIDE_MAX)
            return error_set(error, STATUS_FORMAT,
                             "%s: more than %d rows or columns of cells; part the sheet and its "
                             "photo",
                             path, NAMES_SIDE_MAX);
        if (width != csv_width(csv, 1))
            return error_set(error, STATUS_FORMAT,
                             "%s: fields in row %zu: %zu, in row 1: %zu; every row needs as many, "
                             "with an empty field for a cell left blank",
                             path, line, width, csv_width(csv, 1));
    }
    return STATUS_OK;
}

static enum status take_cells(const char *path, const struct csv *csv, struct names *names,
                              struct error *error)
{
    enum status status = STATUS_OK;

    names->rows = (int)csv->line_count;
    names->columns = csv->line_count ? (int)csv_width(csv, 1) : 0;
    names->cells = memory_array((size_t)names->rows * (size_t)names->columns, sizeof *names->cells,
                                "the ink names", error);
    if (!names->cells)
        return error->status;
    for (int i = 0; !status && i < names->rows * names->columns; i++) {
        struct names_place place = {path, i / names->columns + 1, i % names->columns + 1};

        status = name_from_field(&place, csv_field(csv, (size_t)place.row, (size_t)place.column),
                                 &names->cells[i], error);
    }
    return status;
}

static bool same_swatch(const struct name *a, const struct name *b)
{
    if (a->batch[0] && b->batch[0]) /* several swatches of each batch are meant to be there */
        return false;
    return a->ink[0] && utf8_same(a->ink, b->ink) && a->inked_at.source == b->inked_at.source &&
           a->inked_at.utc_seconds == b->inked_at.utc_seconds;
}

static enum status refuse_duplicates(const char *path, const struct names *names,
                                     struct error *error)
{
    int count = names->rows * names->columns;

    for (int i = 0; i < count; i++)
        for (int j = i + 1; j < count; j++)
            if (same_swatch(&names->cells[i], &names->cells[j]))
                return error_set(error, STATUS_FORMAT,
                                 "%s: the ink '%s' stands twice, at row %d column %d and at row "
                                 "%d column %d; give each cell its own name, or its batch in "
                                 "[] behind the name, or the time it was inked behind an @",
                                 path, names->cells[i].ink, i / names->columns + 1,
                                 i % names->columns + 1, j / names->columns + 1,
                                 j % names->columns + 1);
    return STATUS_OK;
}

static enum status refuse_no_names(const char *path, const struct names *names, struct error *error)
{
    for (int i = 0; i < names->rows * names->columns; i++)
        if (names->cells[i].ink[0])
            return STATUS_OK;
    return error_set(error, STATUS_FORMAT,
                     "%s: holds no ink name; write a line for each row of cells and a field for "
                     "each cell",
                     path);
}

enum status names_read(const char *path, struct names *names, struct error *error)
{
    const struct csv_source source = {path, "names file", NAMES_FILE_BYTES_MAX};
    struct csv csv = {0};
    enum status status = csv_read(&source, &csv, error);

    memset(names, 0, sizeof *names);
    if (!status)
        status = check_shape(path, &csv, error);
    if (!status)
        status = take_cells(path, &csv, names, error);
    if (!status)
        status = refuse_no_names(path, names, error);
    if (!status)
        status = refuse_duplicates(path, names, error);
    if (status)
        names_release(names);
    csv_release(&csv);
    return status;
}
