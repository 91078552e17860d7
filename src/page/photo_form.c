#include "photo_form.h"

#include "base/memory.h"
#include "files/csv.h"
#include "values/calendar.h"

#include <errno.h>
#include <stdlib.h>
#include <string.h>

#define FIELD_SIZE 32

/* A cell's field: "ink-2-3". */
static const char *cell_value(const struct fields *fields, const char *what, int row, int column)
{
    char name[FIELD_SIZE];

    snprintf(name, sizeof name, "%s-%d-%d", what, row, column);
    return fields_value(fields, name);
}

static const char *given(const struct fields *fields, const char *name)
{
    const char *value = fields_value(fields, name);

    return value[0] ? value : NULL;
}

/* --- single values ---------------------------------------------------------------------------- */

static enum status read_count(const struct fields *fields, const char *name, int most, int *count,
                              struct error *error)
{
    const char *text = fields_value(fields, name);
    char *end;
    long value = strtol(text, &end, 10);

    *count = 0;
    if (!text[0])
        return STATUS_OK;
    if (*end || value < 0 || value > most)
        return error_set(error, STATUS_USAGE, "%s: '%.60s' is no number from 1 to %d", name, text,
                         most);
    *count = (int)value;
    return STATUS_OK;
}

static enum status read_time(const struct fields *fields, const char *name, struct photo_time *time,
                             struct error *error)
{
    const char *text = fields_value(fields, name);

    *time = (struct photo_time){.source = PHOTO_TIME_NONE};
    return text[0] ? calendar_parse(text, time, error) : STATUS_OK;
}

static enum status read_corners(const struct fields *fields, const char *name, const char *shown,
                                struct told_corners *corners, struct error *error)
{
    const char *text = fields_value(fields, name);

    return text[0] ? told_corners_parse(text, shown, corners, error) : STATUS_OK;
}

static enum status read_told(const struct fields *fields, const struct page *page,
                             struct photo_told *told, struct error *error)
{
    bool fresh = given(fields, "new") != NULL;
    enum status status = read_count(fields, "rows", CHART_ROWS_MAX, &told->rows, error);

    if (!status)
        status = read_count(fields, "columns", CHART_COLUMNS_MAX, &told->columns, error);
    if (!status)
        status = read_count(fields, "which", CHARTS_MAX, &told->which, error);
    if (!status)
        status = read_time(fields, "at", &told->at, error);
    if (!status)
        status = read_time(fields, "inked_at", &told->inked_at, error);
    if (!status)
        status = read_corners(fields, "card_at", "the card's corners", &told->card_at, error);
    if (!status)
        status = read_corners(fields, "chart_at", "the chart's corners", &told->chart_at, error);
    told->card = page->settings.cards[strcmp(fields_value(fields, "card"), "1") == 0];
    told->chart = given(fields, "chart");
    told->batch = given(fields, "batch");
    told->paper = given(fields, "paper");
    told->fresh = (struct inventory_fresh){fresh, fresh, fresh};
    told->again = given(fields, "again") != NULL;
    return status;
}

/* --- names ------------------------------------------------------------------------------------ */

static bool is_left_out(const struct fields *fields, int row, int column)
{
    return cell_value(fields, "out", row, column)[0] != '\0';
}

static bool any_name(const struct fields *fields)
{
    for (size_t i = 0; i < fields->count; i++)
        if ((strncmp(fields->names[i], "ink-", 4) == 0 ||
             strncmp(fields->names[i], "out-", 4) == 0) &&
            fields->values[i][0])
            return true;
    return false;
}

static enum status write_names(const struct fields *fields, const struct photo_told *told,
                               const char *path, struct error *error)
{
    FILE *out = fopen(path, "wb");
    bool written;

    for (int row = 1; out && row <= told->rows; row++)
        for (int column = 1; column <= told->columns; column++) {
            csv_put(is_left_out(fields, row, column) ? "" : cell_value(fields, "ink", row, column),
                    true, out);
            fputs(column < told->columns ? "," : "\n", out);
        }
    written = out && !ferror(out);
    if (out)
        written = fclose(out) == 0 && written;
    return written
               ? STATUS_OK
               : error_set(error, STATUS_FILE, "%s can't be written (%s)", path, strerror(errno));
}

/* Blank cells tell which way up a sheet lies only where all names are told; those left out hold
 * ink. */
static enum status mark_named(const struct fields *fields, struct photo_form *form,
                              struct error *error)
{
    int columns = form->names.columns, count = form->names.rows * columns;

    form->named = memory_array((size_t)count, sizeof *form->named, "the named cells", error);
    if (!form->named)
        return error->status;
    for (int i = 0; i < count; i++)
        form->named[i] =
            form->names.cells[i].ink[0] || is_left_out(fields, i / columns + 1, i % columns + 1);
    form->told.named = given(fields, "laid") ? form->named : NULL;
    return STATUS_OK;
}

static enum status read_names(const struct fields *fields, const char *names_path,
                              struct photo_form *form, struct error *error)
{
    enum status status;

    if (!form->told.rows || !form->told.columns || !any_name(fields))
        return STATUS_OK;
    status = write_names(fields, &form->told, names_path, error);
    if (!status)
        status = names_read(names_path, &form->names, error);
    if (!status)
        status = mark_named(fields, form, error);
    form->told.names = status ? NULL : &form->names;
    return status;
}

enum status photo_form_read(const struct fields *fields, const struct page *page,
                            const char *names_path, struct photo_form *form, struct error *error)
{
    enum status status;

    *form = (struct photo_form){.named = NULL};
    status = read_told(fields, page, &form->told, error);
    return status ? status : read_names(fields, names_path, form, error);
}

void photo_form_release(struct photo_form *form)
{
    names_release(&form->names);
    free(form->named);
    *form = (struct photo_form){.named = NULL};
}

void photo_form_mark_wet(const struct fields *fields, const struct photo_time *taken,
                         struct photo_form *form)
{
    int columns = form->names.columns;

    for (int i = 0; form->told.names && i < form->names.rows * columns; i++)
        if (cell_value(fields, "wet", i / columns + 1, i % columns + 1)[0] &&
            form->names.cells[i].inked_at.source == PHOTO_TIME_NONE)
            form->names.cells[i].inked_at = *taken;
}

/* --- names that were pasted ------------------------------------------------------------------- */

/* What parts the names: a tab if there is any, as spreadsheets copy; else what a CSV file has. */
static char part_of(const char *pasted)
{
    return strchr(pasted, '\t') ? '\t' : strchr(pasted, ';') ? ';' : ',';
}

static enum status add_encoded(struct text *laid, const char *from, size_t length,
                               struct error *error)
{
    enum status status = STATUS_OK;

    while (length && (from[length - 1] == ' ' || from[length - 1] == '"'))
        length--;
    for (; length && (*from == ' ' || *from == '"'); from++)
        length--;
    for (; !status && length; from++, length--)
        status = text_add(laid, error, "%%%02X", (unsigned char)*from);
    return status;
}

enum status photo_form_lay_out(const struct fields *fields, struct text *laid, struct error *error)
{
    const char *at = fields_value(fields, "pasted");
    const char parting[] = {part_of(at), '\n', '\r', '\0'};
    int row = 1, column = 1, columns = 1;
    enum status status = STATUS_OK;

    while (!status && *at && row <= CHART_ROWS_MAX) {
        size_t length = strcspn(at, parting);

        status = text_add(laid, error, "ink-%d-%d=", row, column);
        if (!status)
            status = add_encoded(laid, at, length, error);
        if (!status)
            status = text_add(laid, error, "&");
        columns = column > columns ? column : columns;
        at += length;
        if (*at == parting[0]) {
            at++;
            column++;
        } else {
            at += *at == '\r';
            at += *at == '\n';
            row += *at != '\0';
            column = 1;
        }
    }
    return status ? status : text_add(laid, error, "rows=%d&columns=%d&laid=1", row, columns);
}

/* --- the command line ------------------------------------------------------------------------- */

static void tell_option(struct visit *visit, const struct fields *fields, const char *name,
                        const char *option)
{
    if (!given(fields, name))
        return;
    visit_command(visit, option);
    visit_command(visit, fields_value(fields, name));
}

void photo_form_tell_command(struct visit *visit, const struct fields *fields)
{
    static const struct {
        const char *name, *option;
    } options[] = {{"chart", "--chart"},       {"batch", "--batch"},
                   {"paper", "--paper"},       {"at", "--at"},
                   {"inked_at", "--inked-at"}, {"card_at", "--card-at"},
                   {"chart_at", "--chart-at"}, {"which", "--which"}};

    visit_command(visit, "measure");
    visit_command(visit, fields_value(fields, "name"));
    if (any_name(fields)) {
        visit_command(visit, "--names");
        visit_command(visit, "names.csv");
    } else {
        tell_option(visit, fields, "rows", "--rows");
        tell_option(visit, fields, "columns", "--columns");
    }
    for (size_t i = 0; i < sizeof options / sizeof *options; i++)
        tell_option(visit, fields, options[i].name, options[i].option);
    if (strcmp(fields_value(fields, "card"), "1") == 0) {
        visit_command(visit, "--card");
        visit_command(visit, "before-2014-11");
    }
    if (given(fields, "new"))
        visit_command(visit, "--new-inks");
    if (given(fields, "again"))
        visit_command(visit, "--again");
}
