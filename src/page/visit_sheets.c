#include "base/memory.h"
#include "output/sheets.h"
#include "output/view_answers.h"
#include "tray.h"
#include "values/calendar.h"
#include "visit.h"

#include <stdlib.h>
#include <string.h>

/* Sheets to print, as PDF. */

enum status visit_sheets(struct visit *visit, struct error *error)
{
    enum status status;

    visit->frame.here = "/sheets";
    visit_command(visit, "sheet");
    visit_command(visit, "range");
    visit_command(visit, "range.pdf");
    status = visit_begin(visit, "Sheets to print", error);
    if (status)
        return status;
    view_sheets(visit->out);
    visit_end(visit);
    return STATUS_OK;
}

/* The inks in colour order, as sheets take them; the caller frees them. */
static struct sheet_ink *list_inks(const struct overview *overview, struct error *error)
{
    struct sheet_ink *inks = memory_array(overview->count + 1, sizeof *inks, "the sheet", error);

    for (size_t i = 0; inks && i < overview->count; i++) {
        inks[i].measured = true;
        inks[i].lab = overview->inks[i].ink->lab;
        snprintf(inks[i].name.ink, sizeof inks[i].name.ink, "%.*s", NAMES_INK_BYTES_MAX,
                 overview->inks[i].ink->name);
    }
    return inks;
}

static struct point page_of(const struct visit *visit)
{
    const char *name = fields_value(&visit->query, "page");

    if (strcmp(name, "a5") == 0)
        return (struct point){148, 210};
    if (strcmp(name, "letter") == 0)
        return (struct point){215.9, 279.4};
    return (struct point){210, 297};
}

static enum status write_labels(const struct visit *visit, const char *path,
                                const struct sheet_about *about, const struct sheet_list *list,
                                struct error *error)
{
    const struct label_style style = {.start = 1, .coloured = true};
    const char *text = fields_value(&visit->query, "stock");
    size_t count = 0;
    const struct inventory_stock *stocks = sheet_label_stocks(&count);
    char *end;
    unsigned long stock = strtoul(text, &end, 10);

    if (end == text || *end || stock >= count)
        return error_set(error, STATUS_USAGE, "there are no labels of that number");
    return sheet_write_labels(path, &stocks[stock], about, list, &style, error);
}

static enum status write_sheet(const struct visit *visit, const char *path,
                               const struct sheet_list *list, struct error *error)
{
    const struct photo_time now = calendar_now();
    const char *kind = fields_value(&visit->query, "kind");
    char day[CALENDAR_TEXT_SIZE];
    const struct sheet_about about = {"The range", day, now.utc_seconds, NULL};

    calendar_format(&now, day);
    day[10] = '\0';
    if (!list->count)
        return error_set(error, STATUS_INVENTORY, "no ink has a colour yet to put on a sheet");
    if (strcmp(kind, "labels") == 0)
        return write_labels(visit, path, &about, list, error);
    if (strcmp(kind, "range") == 0)
        return sheet_write_range(path, page_of(visit), &about, list, error);
    return error_set(error, STATUS_USAGE, "there is no such sheet");
}

/* What stands on the sheet is taken while the range is looked at; the drawing is not waited for. */
static enum status take_inks(struct visit *visit, struct sheet_ink **inks, size_t *count,
                             struct error *error)
{
    struct overview *overview = NULL;
    struct inventory *inventory = NULL;
    enum status status =
        inventory_open(visit->page->inventory_path, INVENTORY_READ, &inventory, error);

    if (!status)
        status = inventory_revision(inventory, visit->revision, error);
    inventory_close(inventory);
    if (!status)
        status = look_at(visit->page->look, visit->page->inventory_path, visit->revision, &overview,
                         error);
    if (status)
        return status;
    *inks = list_inks(overview, error);
    *count = overview->count;
    look_away(visit->page->look);
    return *inks ? STATUS_OK : error->status;
}

enum status visit_sheet(struct visit *visit, struct error *error)
{
    char id[TRAY_ID_SIZE] = "", path[TRAY_PATH_SIZE];
    struct sheet_ink *inks = NULL;
    size_t count = 0;
    enum status status = take_inks(visit, &inks, &count, error);

    if (!status)
        status = tray_new(visit->page->inventory_path, id, error);
    tray_path(visit->page->inventory_path, id, "pdf", path);
    if (!status)
        status = write_sheet(visit, path, &(struct sheet_list){inks, count}, error);
    if (!status)
        status = visit_send_file(visit, path, "application/pdf", error);
    if (!status)
        snprintf(visit->response->download, sizeof visit->response->download, "%s.pdf",
                 strcmp(fields_value(&visit->query, "kind"), "labels") == 0 ? "labels" : "range");
    tray_drop(visit->page->inventory_path, id);
    free(inks);
    return status;
}
