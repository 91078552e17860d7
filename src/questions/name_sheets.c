#include "questions/name_sheets.h"

#include "base/memory.h"
#include "base/utf8.h"
#include "files/whole_file.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define PATH_SIZE 1024

void name_sheets_release(struct name_sheets *sheets)
{
    for (size_t i = 0; i < sheets->count; i++)
        names_release(&sheets->items[i]);
    free(sheets->items);
    free(sheets->labels);
    memset(sheets, 0, sizeof *sheets);
}

static enum status make_room(struct name_sheets *sheets, size_t count, struct error *error)
{
    sheets->items = memory_array(count, sizeof *sheets->items, "the sheets", error);
    sheets->labels = memory_array(count, sizeof *sheets->labels, "the sheets", error);
    return sheets->items && sheets->labels ? STATUS_OK : error->status;
}

/* --- reading ---------------------------------------------------------------------------------- */

static void label_by_file(char label[NAME_SHEETS_LABEL_SIZE], const char *path)
{
    const char *slash = strrchr(path, '/');
    char *dot;

    snprintf(label, NAME_SHEETS_LABEL_SIZE, "%s", slash ? slash + 1 : path);
    dot = strrchr(label, '.');
    if (dot && dot != label)
        *dot = '\0';
}

static enum status refuse_twice(char **paths, const struct name_sheets *sheets, struct error *error)
{
    size_t cells = name_sheets_cells(sheets);

    for (size_t i = 0; i < cells; i++) {
        const char *ink = name_sheets_cell(sheets, i)->ink;

        if (ink[0] && name_sheets_find(sheets, ink) != i)
            return error_set(error, STATUS_FORMAT,
                             "%s: the ink '%s' stands in two cells of the sheets; leave it in one",
                             paths[sheets->count - 1], ink);
    }
    return STATUS_OK;
}

enum status name_sheets_read(char **paths, size_t count, struct name_sheets *sheets,
                             struct error *error)
{
    enum status status;

    memset(sheets, 0, sizeof *sheets);
    if (!count)
        return STATUS_OK;
    status = make_room(sheets, count, error);
    for (size_t i = 0; !status && i < count; i++) {
        label_by_file(sheets->labels[i], paths[i]);
        status = names_read(paths[i], &sheets->items[i], error);
        sheets->count += !status;
    }
    if (!status)
        status = refuse_twice(paths, sheets, error);
    if (status)
        name_sheets_release(sheets);
    return status;
}

/* --- making ----------------------------------------------------------------------------------- */

static enum status make_blank(struct names *names, int rows, int columns, struct error *error)
{
    names->rows = rows;
    names->columns = columns;
    names->cells =
        memory_array((size_t)rows * (size_t)columns, sizeof *names->cells, "a sheet", error);
    return names->cells ? STATUS_OK : error->status;
}

enum status name_sheets_create(int rows, int columns, size_t cells, struct name_sheets *sheets,
                               struct error *error)
{
    size_t each = (size_t)rows * (size_t)columns, count = (cells + each - 1) / each;
    enum status status;

    memset(sheets, 0, sizeof *sheets);
    status = make_room(sheets, count, error);
    for (size_t i = 0; !status && i < count; i++) {
        snprintf(sheets->labels[i], NAME_SHEETS_LABEL_SIZE, "%zu", i + 1);
        status = make_blank(&sheets->items[i], rows, columns, error);
        sheets->count += !status;
    }
    if (status)
        name_sheets_release(sheets);
    return status;
}

enum status name_sheets_copy(const struct name_sheets *from, struct name_sheets *copy,
                             struct error *error)
{
    enum status status;

    memset(copy, 0, sizeof *copy);
    status = make_room(copy, from->count, error);
    for (size_t i = 0; !status && i < from->count; i++) {
        const struct names *names = &from->items[i];

        memcpy(copy->labels[i], from->labels[i], NAME_SHEETS_LABEL_SIZE);
        status = make_blank(&copy->items[i], names->rows, names->columns, error);
        if (!status)
            memcpy(copy->items[i].cells, names->cells,
                   (size_t)names->rows * (size_t)names->columns * sizeof *names->cells);
        copy->count += !status;
    }
    if (status)
        name_sheets_release(copy);
    return status;
}

enum status name_sheets_add_blank(struct name_sheets *sheets, struct error *error)
{
    const struct names *last = &sheets->items[sheets->count - 1];
    int rows = last->rows, columns = last->columns;
    size_t grown = sheets->count + 1;
    struct names *items = realloc(sheets->items, grown * sizeof *items);
    char(*labels)[NAME_SHEETS_LABEL_SIZE] = realloc(sheets->labels, grown * sizeof *labels);
    enum status status;

    sheets->items = items ? items : sheets->items;
    sheets->labels = labels ? labels : sheets->labels;
    if (!items || !labels)
        return error_set(error, STATUS_MEMORY, "no memory for one more sheet");
    memset(&items[sheets->count], 0, sizeof *items);
    snprintf(labels[sheets->count], NAME_SHEETS_LABEL_SIZE, "a further sheet");
    status = make_blank(&items[sheets->count], rows, columns, error);
    sheets->count += !status;
    return status;
}

/* --- cells ------------------------------------------------------------------------------------ */

static size_t cells_of(const struct names *names)
{
    return (size_t)names->rows * (size_t)names->columns;
}

size_t name_sheets_cells(const struct name_sheets *sheets)
{
    size_t cells = 0;

    for (size_t i = 0; i < sheets->count; i++)
        cells += cells_of(&sheets->items[i]);
    return cells;
}

/* Step down to the cell's number within its sheet. */
static size_t sheet_of(const struct name_sheets *sheets, size_t *cell)
{
    size_t sheet = 0;

    for (; sheet + 1 < sheets->count && *cell >= cells_of(&sheets->items[sheet]); sheet++)
        *cell -= cells_of(&sheets->items[sheet]);
    return sheet;
}

struct name *name_sheets_cell(const struct name_sheets *sheets, size_t cell)
{
    size_t sheet = sheet_of(sheets, &cell);

    return &sheets->items[sheet].cells[cell];
}

size_t name_sheets_find(const struct name_sheets *sheets, const char *ink)
{
    size_t cells = name_sheets_cells(sheets), cell = 0;

    while (cell < cells && !utf8_same(name_sheets_cell(sheets, cell)->ink, ink))
        cell++;
    return cell;
}

struct name_sheets_place name_sheets_place_of(const struct name_sheets *sheets, size_t cell)
{
    size_t sheet = sheet_of(sheets, &cell);
    int columns = sheets->items[sheet].columns;
    struct name_sheets_place place = {.sheet = sheets->labels[sheet],
                                      .row = (int)cell / columns + 1,
                                      .column = (int)cell % columns + 1};

    names_label(place.row, place.column, place.label);
    return place;
}

/* --- writing ---------------------------------------------------------------------------------- */

/* The numbered name of one of several files: before the ending, if it has one. */
static enum status numbered(const char *path, size_t number, char *file, struct error *error)
{
    const char *slash = strrchr(path, '/'), *dot = strrchr(path, '.');
    size_t stem = dot && dot > (slash ? slash + 1 : path) ? (size_t)(dot - path) : strlen(path);
    int length = snprintf(file, PATH_SIZE, "%.*s-%zu%s", (int)stem, path, number, path + stem);

    if (length < PATH_SIZE)
        return STATUS_OK;
    return error_set(error, STATUS_USAGE, "%.60s...: the name is too long; give a shorter one",
                     path);
}

enum status name_sheets_write(const struct name_sheets *sheets, const char *path,
                              struct error *error)
{
    char file[PATH_SIZE];
    enum status status = STATUS_OK;

    if (sheets->count == 1)
        return names_write(path, &sheets->items[0], error);
    for (size_t i = 0; !status && i < sheets->count; i++) {
        const struct whole_file_plan plan = {file, &whole_file_csv};

        status = numbered(path, i + 1, file, error);
        if (!status)
            status = whole_file_check(&plan, 1, error);
    }
    for (size_t i = 0; !status && i < sheets->count; i++) {
        status = numbered(path, i + 1, file, error);
        if (!status)
            status = names_write(file, &sheets->items[i], error);
    }
    return status;
}
