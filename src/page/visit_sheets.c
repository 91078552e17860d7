#include "base/memory.h"
#include "files/csv.h"
#include "inventory/combinations.h"
#include "analysis/combination.h"
#include "output/print_setup.h"
#include "output/sheet_job.h"
#include "output/view_sheets.h"
#include "tray.h"
#include "visit.h"

#include <errno.h>
#include <stdlib.h>
#include <string.h>

/* Sheets to print: asked for by the fields of an address, looked at, and given out as PDF. */

/* A sheet as asked for; the job borrows from here and from the fields. */
struct asked_sheet {
    struct sheet_job job;
    char ink_names[COMBINATION_MOST][NAMES_INK_BYTES_MAX + 1];
    char *inks[COMBINATION_MOST];
    const char *names[1];
    char names_path[TRAY_PATH_SIZE];
};

/* --- what is asked ---------------------------------------------------------------------------- */

static const char *given(const struct fields *fields, const char *name)
{
    const char *value = fields_value(fields, name);

    return value[0] ? value : NULL;
}

static enum status read_count(const struct fields *fields, const char *name, int most, int *count,
                              struct error *error)
{
    const char *text = fields_value(fields, name);
    char *end;
    long value = strtol(text, &end, 10);

    if (!text[0])
        return STATUS_OK;
    if (*end || value < 0 || value > most)
        return error_set(error, STATUS_USAGE, "%s: '%.60s' is no number from 0 to %d", name, text,
                         most);
    *count = (int)value;
    return STATUS_OK;
}

static enum status read_cell(const struct fields *fields, double *cell_mm, struct error *error)
{
    int whole = 0;
    enum status status = read_count(fields, "cell", SHEET_CELL_MM_MAX, &whole, error);

    if (!status && whole && whole < SHEET_CELL_MM_MIN)
        status =
            error_set(error, STATUS_USAGE, "cells have sides of %d mm at least", SHEET_CELL_MM_MIN);
    *cell_mm = whole;
    return status;
}

static enum status read_counts(const struct fields *fields, struct sheet_job *job,
                               struct error *error)
{
    enum status status = read_count(fields, "rows", NAMES_SIDE_MAX, &job->rows, error);

    if (!status)
        status = read_count(fields, "columns", NAMES_SIDE_MAX, &job->columns, error);
    if (!status)
        status = read_cell(fields, &job->cell_mm, error);
    if (!status)
        status = read_count(fields, "copies", SHEET_COPIES_MAX, &job->copies, error);
    if (!status)
        status = read_count(fields, "spare", SHEET_SPARE_MAX, &job->spare, error);
    if (!status)
        status = read_count(fields, "number", TAG_SHEETS - 1, &job->number, error);
    if (!status)
        status = read_count(fields, "start", SHEET_START_MAX, &job->start, error);
    job->copies = job->copies ? job->copies : 1;
    return status;
}

/* The inks of one strip, in the order they are blended. */
static void read_inks(const struct fields *fields, struct asked_sheet *asked)
{
    for (int i = 0; i < COMBINATION_MOST; i++) {
        char name[8];

        snprintf(name, sizeof name, "ink%d", i + 1);
        if (!given(fields, name))
            continue;
        asked->inks[asked->job.ink_count] = asked->ink_names[asked->job.ink_count];
        snprintf(asked->inks[asked->job.ink_count++], NAMES_INK_BYTES_MAX + 1, "%.*s",
                 NAMES_INK_BYTES_MAX, fields_value(fields, name));
    }
    asked->job.inks = asked->inks;
}

static void read_names(const struct fields *fields, struct asked_sheet *asked)
{
    if (!given(fields, "names"))
        return;
    asked->names[0] = asked->names_path;
    asked->job.names = asked->names;
    asked->job.names_count = 1;
    asked->job.listed = true;
}

static enum status read_asked(const struct visit *visit, struct asked_sheet *asked,
                              struct error *error)
{
    const struct fields *query = &visit->query;
    struct sheet_job *job = &asked->job;

    *asked = (struct asked_sheet){.job = {.kind = given(query, "kind")}};
    job->kind = job->kind ? job->kind : "chart";
    job->inventory = visit->page->inventory_path;
    job->page = given(query, "page");
    job->landscape = given(query, "landscape") != NULL;
    job->card_place = given(query, "card");
    job->title = given(query, "title");
    job->stock = given(query, "stock");
    job->plain = given(query, "plain") != NULL;
    job->outlined = given(query, "outlined") != NULL;
    job->duplex = given(query, "duplex") != NULL;
    job->printer = given(query, "printer");
    read_inks(query, asked);
    read_names(query, asked);
    return read_counts(query, job, error);
}

/* --- the command line ------------------------------------------------------------------------- */

static void tell_options(struct visit *visit)
{
    static const struct {
        const char *name, *option;
    } options[] = {{"page", "--page"},   {"rows", "--rows"},       {"columns", "--columns"},
                   {"cell", "--cell"},   {"copies", "--copies"},   {"spare", "--spare"},
                   {"title", "--title"}, {"number", "--number"},   {"stock", "--stock"},
                   {"start", "--start"}, {"printer", "--printer"}, {"card", "--card-place"}};
    static const struct {
        const char *name, *option;
    } switches[] = {{"landscape", "--landscape"},
                    {"plain", "--plain"},
                    {"outlined", "--outlined"},
                    {"duplex", "--duplex"}};

    for (size_t i = 0; i < sizeof options / sizeof *options; i++)
        if (given(&visit->query, options[i].name)) {
            visit_command(visit, options[i].option);
            visit_command(visit, given(&visit->query, options[i].name));
        }
    for (size_t i = 0; i < sizeof switches / sizeof *switches; i++)
        if (given(&visit->query, switches[i].name))
            visit_command(visit, switches[i].option);
    if (given(&visit->query, "names")) {
        visit_command(visit, "--names");
        visit_command(visit, "names.csv");
    }
}

static void tell_command(struct visit *visit, const struct asked_sheet *asked)
{
    char file[64];

    snprintf(file, sizeof file, "%.32s.pdf", asked->job.kind);
    visit_command(visit, "sheet");
    visit_command(visit, asked->job.kind);
    visit_command(visit, file);
    for (int i = 0; i < asked->job.ink_count; i++)
        visit_command(visit, asked->inks[i]);
    tell_options(visit);
}

/* --- the view --------------------------------------------------------------------------------- */

/* Whether there are inks, or combinations, to put on what is asked for. */
static enum status look_for_any(struct inventory *inventory, const struct asked_sheet *asked,
                                struct view_sheet *shown, struct error *error)
{
    const struct sheet_job *job = &asked->job;
    struct inventory_combinations logged = {0};
    enum status status = STATUS_OK;

    if (strcmp(job->kind, "strip") == 0) {
        status = inventory_read_combinations(inventory, NULL, &logged, error);
        shown->nothing = !job->ink_count && !logged.count;
        inventory_combinations_release(&logged);
    } else if (strcmp(job->kind, "window") != 0 && strcmp(job->kind, "test") != 0) {
        shown->nothing = !job->names_count && !shown->inks->count;
    }
    return status;
}

static enum status read_setups(const struct visit *visit, const struct asked_sheet *asked,
                               struct inventory_setups *setups, struct inventory_inks *inks,
                               struct view_sheet *shown, struct error *error)
{
    struct inventory *inventory = NULL;
    enum status status =
        inventory_open(visit->page->inventory_path, INVENTORY_READ, &inventory, error);

    if (!status)
        status = inventory_read_setups(inventory, setups, error);
    if (!status)
        status = inventory_read_names(inventory, inks, error);
    if (!status)
        status = look_for_any(inventory, asked, shown, error);
    inventory_close(inventory);
    return status;
}

static const char *query_of(const struct visit *visit)
{
    const char *query = strchr(visit->request->target, '?');

    return query ? query + 1 : "";
}

enum status visit_sheets(struct visit *visit, struct error *error)
{
    struct inventory_setups setups = {0};
    struct inventory_inks inks = {0};
    struct asked_sheet asked;
    struct view_sheet shown = {
        &asked.job, &setups, &inks, fields_value(&visit->query, "names"), query_of(visit), false};
    enum status status = read_asked(visit, &asked, error);

    if (!status)
        status = read_setups(visit, &asked, &setups, &inks, &shown, error);
    tell_command(visit, &asked);
    visit->frame.here = "/sheets";
    if (!status)
        status = visit_begin(visit, "Sheets to print", error);
    if (!status) {
        view_sheets(visit->out, &visit->frame, &shown);
        visit_end(visit);
    }
    inventory_inks_release(&inks);
    inventory_setups_release(&setups);
    return status;
}

/* --- the sheet -------------------------------------------------------------------------------- */

/* A line for each name; what a spreadsheet copied from columns side by side goes on as more. */
static enum status write_names(const struct visit *visit, const char *path, struct error *error)
{
    const char *at = fields_value(&visit->query, "names");
    FILE *out = fopen(path, "wb");
    bool written;

    while (out && *at) {
        char name[NAMES_INK_BYTES_MAX + 1];
        size_t length = strcspn(at, "\t\r\n");

        snprintf(name, sizeof name, "%.*s", (int)(length < sizeof name ? length : sizeof name - 1),
                 at);
        if (length) {
            csv_put(name, true, out);
            fputc('\n', out);
        }
        at += length + (at[length] != '\0');
    }
    written = out && !ferror(out);
    if (out)
        written = fclose(out) == 0 && written;
    return written
               ? STATUS_OK
               : error_set(error, STATUS_FILE, "%s can't be written (%s)", path, strerror(errno));
}

static enum status send_sheet(struct visit *visit, struct asked_sheet *asked, const char *ending,
                              const char *type, struct error *error)
{
    const char *inventory_path = visit->page->inventory_path;
    char id[TRAY_ID_SIZE] = "", path[TRAY_PATH_SIZE];
    struct sheet_made made;
    enum status status = tray_new(inventory_path, id, error);

    tray_path(inventory_path, id, "csv", asked->names_path);
    tray_path(inventory_path, id, ending, path);
    if (!status && asked->job.names_count)
        status = write_names(visit, asked->names_path, error);
    if (!status)
        status = sheet_job_write(&asked->job, path, &made, error);
    if (!status)
        status = visit_send_file(visit, path, type, error);
    tray_drop(inventory_path, id);
    return status;
}

enum status visit_sheet_picture(struct visit *visit, struct error *error)
{
    struct asked_sheet asked;
    enum status status = read_asked(visit, &asked, error);

    asked.job.preview = true;
    return status ? status : send_sheet(visit, &asked, "svg", "image/svg+xml", error);
}

enum status visit_sheet(struct visit *visit, struct error *error)
{
    struct asked_sheet asked;
    enum status status = read_asked(visit, &asked, error);

    if (!status)
        status = send_sheet(visit, &asked, "pdf", "application/pdf", error);
    if (!status)
        snprintf(visit->response->download, sizeof visit->response->download, "%.32s.pdf",
                 asked.job.kind);
    return status;
}
