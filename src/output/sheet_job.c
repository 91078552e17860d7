#include "output/sheet_job.h"

#include "base/memory.h"
#include "base/text.h"
#include "inventory/printed_sheets.h"
#include "output/print_setup.h"
#include "output/sheets.h"
#include "sheet_inks.h"
#include "strip_choice.h"
#include "values/calendar.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define TITLE_USUAL "Swatch chart"

/* --- measures --------------------------------------------------------------------------------- */

static enum status lay_out(const struct sheet_job *job, const struct sheet_inks *inks,
                           struct printed_chart *chart, struct error *error)
{
    bool told = job->rows || job->columns || job->cell_mm > 0;
    struct printed_wish wish = {.rows = told ? job->rows : inks->rows,
                                .columns = told ? job->columns : inks->columns,
                                .cell_mm = job->cell_mm};
    const struct pair_option card = {"card-place", job->card_place, 10, PAGE_SIDE_MAX_MM, NULL};
    enum status status = print_setup_page(job->page, job->landscape, &wish.page_mm, error);

    if (!status)
        status = print_setup_pair(&card, &wish.card_mm, error);
    return status ? status : printed_chart_lay_out(&wish, chart, error);
}

/* --- what the sheet says of itself ------------------------------------------------------------ */

struct dated {
    char day[CALENDAR_TEXT_SIZE];
    struct inventory_printer printer;
    struct sheet_about about; /* borrows the two above */
    struct photo_time time;
};

static enum status date_it(const struct sheet_job *job, const char *title, struct dated *dated,
                           struct error *error)
{
    bool told = job->printer != NULL;

    dated->time = calendar_date(&job->date, dated->day);
    dated->about =
        (struct sheet_about){job->title ? job->title : title, dated->day, dated->time.utc_seconds,
                             told ? &dated->printer : NULL, job->preview};
    return told ? print_setup_printer(job->inventory, job->printer, &dated->printer, error)
                : STATUS_OK;
}

static enum status load(const struct sheet_job *job, struct sheet_inks *inks, struct error *error)
{
    const struct sheet_choice choice = {.inventory = job->inventory,
                                        .files = job->names,
                                        .file_count = job->names_count,
                                        .listed = job->listed,
                                        .copies = job->copies,
                                        .spare = job->spare};

    return sheet_inks_load(&choice, inks, error);
}

/* --- the chart -------------------------------------------------------------------------------- */

/* Fill a sheet's cells with the inks of one page. */
static enum status fill_sheet(const struct sheet_inks *inks, const struct printed_chart *chart,
                              int page, struct inventory_sheet *sheet, struct error *error)
{
    size_t a_page = (size_t)(chart->rows * chart->columns), first = (size_t)page * a_page;

    sheet->page = page + 1;
    sheet->chart = *chart;
    sheet->names = (struct names){chart->rows, chart->columns, NULL};
    sheet->names.cells = memory_array(a_page, sizeof *sheet->names.cells, "a sheet's names", error);
    if (!sheet->names.cells)
        return error->status;
    for (size_t i = 0; i < a_page && first + i < inks->count; i++)
        sheet->names.cells[i] = inks->items[first + i].name;
    return STATUS_OK;
}

/* Keep each sheet in the inventory first, which gives it its number, then print them. */
static enum status keep_sheets(const struct sheet_job *job, const struct dated *dated,
                               struct inventory_sheet *sheets, int count, struct error *error)
{
    char path[INVENTORY_PATH_SIZE];
    struct inventory *inventory = NULL;
    enum status status = STATUS_OK;

    if (job->preview)
        return STATUS_OK;
    status = inventory_location(job->inventory, path, error);
    if (!status)
        status = inventory_open(path, INVENTORY_CREATE, &inventory, error);
    for (int i = 0; !status && i < count; i++) {
        sheets[i].title = text_copy(dated->about.title, error);
        sheets[i].made = dated->time;
        status =
            sheets[i].title ? inventory_add_sheet(inventory, &sheets[i], error) : error->status;
    }
    inventory_close(inventory);
    return status;
}

static void tell_made(const struct printed_chart *chart, const struct inventory_sheet *sheets,
                      int count, struct sheet_made *made)
{
    *made = (struct sheet_made){chart->rows, chart->columns, sheets[0].number,
                                sheets[count - 1].number};
}

static enum status print_sheets(const struct sheet_job *job, const char *path,
                                const struct printed_chart *chart, struct inventory_sheet *sheets,
                                int count, struct error *error)
{
    struct sheet_page *pages = memory_array((size_t)count, sizeof *pages, "the pages", error);
    struct dated dated;
    enum status status = pages ? STATUS_OK : error->status;

    if (!status)
        status = date_it(job, TITLE_USUAL, &dated, error);
    if (!status)
        status = keep_sheets(job, &dated, sheets, count, error);
    for (int i = 0; !status && i < count; i++)
        pages[i] = (struct sheet_page){sheets[i].number, sheets[i].printing, &sheets[i].names};
    if (!status)
        status = sheet_write_chart(path, chart, &dated.about, pages, (size_t)count, error);
    free(pages);
    return status;
}

static enum status chart(const struct sheet_job *job, const char *path, struct sheet_made *made,
                         struct error *error)
{
    struct sheet_inks inks = {0};
    struct printed_chart chart;
    struct inventory_sheet *sheets = NULL;
    int count = 0;
    enum status status = load(job, &inks, error);

    if (!status)
        status = lay_out(job, &inks, &chart, error);
    if (!status) {
        int a_page = chart.rows * chart.columns;

        count = ((int)inks.count + a_page - 1) / a_page;
        sheets = memory_array((size_t)count, sizeof *sheets, "the sheets", error);
        status = sheets ? STATUS_OK : error->status;
    }
    for (int i = 0; !status && i < count; i++)
        status = fill_sheet(&inks, &chart, i, &sheets[i], error);
    if (!status)
        status = print_sheets(job, path, &chart, sheets, count, error);
    if (!status)
        tell_made(&chart, sheets, count, made);
    for (int i = 0; sheets && i < count; i++)
        inventory_sheet_release(&sheets[i]);
    free(sheets);
    sheet_inks_release(&inks);
    return status;
}

/* --- the stencil ------------------------------------------------------------------------------ */

static enum status find_printed(const struct sheet_job *job, struct printed_chart *chart,
                                struct error *error)
{
    char path[INVENTORY_PATH_SIZE];
    struct inventory *inventory = NULL;
    struct inventory_sheet sheet = {0};
    enum status status = inventory_location(job->inventory, path, error);

    if (!status)
        status = inventory_open(path, INVENTORY_READ, &inventory, error);
    if (!status)
        status = inventory_read_sheet(inventory, job->number, &sheet, error);
    if (!status && !sheet.number)
        status = error_set(error, STATUS_INVENTORY,
                           "%s: no sheet %d was printed with this inventory; the number stands "
                           "below a sheet's title",
                           path, job->number);
    *chart = sheet.chart;
    inventory_sheet_release(&sheet);
    inventory_close(inventory);
    return status;
}

static enum status window(const struct sheet_job *job, const char *path, struct sheet_made *made,
                          struct error *error)
{
    const struct sheet_inks none = {0};
    struct printed_chart chart;
    struct dated dated;
    enum status status =
        job->number ? find_printed(job, &chart, error) : lay_out(job, &none, &chart, error);

    (void)made;
    if (!status)
        status = date_it(job, TITLE_USUAL, &dated, error);
    return status ? status : sheet_write_window(path, &chart, &dated.about, error);
}

/* --- labels and the range --------------------------------------------------------------------- */

/* The inks without the blank cells between them. */
static struct sheet_list list_of(struct sheet_inks *inks)
{
    size_t kept = 0;

    for (size_t i = 0; i < inks->count; i++)
        if (inks->items[i].name.ink[0])
            inks->items[kept++] = inks->items[i];
    inks->count = kept;
    return (struct sheet_list){inks->items, kept};
}

/* Labels come on pages of their own. */
static enum status check_page(const struct sheet_job *job, const struct inventory_stock *stock,
                              struct error *error)
{
    const double slack = 0.5;
    struct point page = stock->page_mm;
    enum status status = STATUS_OK;

    if (job->page || job->landscape)
        status = print_setup_page(job->page, job->landscape, &page, error);
    if (status ||
        (fabs(page.x - stock->page_mm.x) <= slack && fabs(page.y - stock->page_mm.y) <= slack))
        return status;
    return error_set(error, STATUS_USAGE,
                     "the labels '%.60s' come on a page of %g x %g mm, not %g x %g; leave the page "
                     "out, choose others with --stock, or keep your own with 'woad stock'",
                     stock->name, stock->page_mm.x, stock->page_mm.y, page.x, page.y);
}

static enum status labels(const struct sheet_job *job, const char *path, struct sheet_made *made,
                          struct error *error)
{
    const struct label_style style = {job->start, !job->plain, job->outlined};
    struct sheet_inks inks = {0};
    struct sheet_list list;
    struct inventory_stock stock;
    struct dated dated;
    enum status status = print_setup_stock(
        job->inventory, job->stock ? job->stock : SHEET_STOCK_USUAL, &stock, error);

    (void)made;
    if (!status)
        status = check_page(job, &stock, error);
    if (!status)
        status = load(job, &inks, error);
    list = list_of(&inks);
    if (!status)
        status = date_it(job, "Labels", &dated, error);
    if (!status)
        status = sheet_write_labels(path, &stock, &dated.about, &list, &style, error);
    sheet_inks_release(&inks);
    return status;
}

static enum status range(const struct sheet_job *job, const char *path, struct sheet_made *made,
                         struct error *error)
{
    struct sheet_inks inks = {0};
    struct sheet_list list;
    struct point page;
    struct dated dated;
    enum status status = print_setup_page(job->page, job->landscape, &page, error);

    (void)made;
    if (!status)
        status = load(job, &inks, error);
    list = list_of(&inks);
    if (!status)
        status = date_it(job, "The range", &dated, error);
    if (!status)
        status = sheet_write_range(path, page, &dated.about, &list, error);
    sheet_inks_release(&inks);
    return status;
}

/* --- strips ----------------------------------------------------------------------------------- */

/* As many cells in a row as the longest strip has. */
static enum status lay_out_strips(const struct sheet_job *job, const struct sheet_strips *strips,
                                  struct printed_chart *chart, struct error *error)
{
    struct printed_wish wish = {.rows = job->rows,
                                .flap_mm = strips->backs ? SHEET_FORESEEN_MM : SHEET_FLAP_MM};
    enum status status = print_setup_page(job->page, job->landscape, &wish.page_mm, error);

    for (size_t i = 0; i < strips->count; i++)
        if (strips->items[i].count > wish.columns)
            wish.columns = strips->items[i].count;
    return status ? status : printed_chart_lay_out(&wish, chart, error);
}

/* In the inventory a strip is a row whose inks have names and whose blends have none. */
static enum status name_strips(const struct sheet_strips *strips, const struct printed_chart *chart,
                               int page, struct inventory_sheet *sheet, struct error *error)
{
    const struct sheet_inks none = {0};
    size_t first = (size_t)(page * chart->rows);
    enum status status = fill_sheet(&none, chart, page, sheet, error);

    for (size_t i = first; !status && i < strips->count && i < first + (size_t)chart->rows; i++)
        for (int k = 0; k < strips->items[i].count; k++) {
            const char *ink = strips->items[i].cells[k].ink;
            struct name *name =
                &sheet->names.cells[(i - first) * (size_t)chart->columns + (size_t)k];

            snprintf(name->ink, sizeof name->ink, "%.*s", NAMES_INK_BYTES_MAX, ink ? ink : "");
        }
    return status;
}

static enum status print_strips(const struct sheet_job *job, const char *path,
                                const struct sheet_strips *strips, struct sheet_made *made,
                                struct error *error)
{
    struct printed_chart chart;
    struct dated dated;
    struct inventory_sheet *sheets = NULL;
    int *numbers = NULL, pages = 0;
    enum status status = lay_out_strips(job, strips, &chart, error);

    if (!status)
        status = date_it(job, "Combinations", &dated, error);
    if (!status) {
        pages = ((int)strips->count + chart.rows - 1) / chart.rows;
        sheets = memory_array((size_t)pages, sizeof *sheets, "the sheets", error);
        numbers = memory_array((size_t)pages, sizeof *numbers, "the sheets' numbers", error);
        status = sheets && numbers ? STATUS_OK : error->status;
    }
    for (int i = 0; !status && i < pages; i++)
        status = name_strips(strips, &chart, i, &sheets[i], error);
    if (!status)
        status = keep_sheets(job, &dated, sheets, pages, error);
    for (int i = 0; !status && i < pages; i++)
        numbers[i] = sheets[i].number;
    if (!status)
        status = sheet_write_strips(path, &chart, &dated.about, strips, numbers, error);
    if (!status)
        tell_made(&chart, sheets, pages, made);
    for (int i = 0; sheets && i < pages; i++)
        inventory_sheet_release(&sheets[i]);
    free(sheets);
    free(numbers);
    return status;
}

static enum status strip(const struct sheet_job *job, const char *path, struct sheet_made *made,
                         struct error *error)
{
    struct strip_choice choice = {.log = {.tested_count = 0}};
    enum status status =
        strip_choice_load(job->inventory, job->inks, job->ink_count, &choice, error);

    choice.strips.backs = job->duplex;
    if (!status)
        status = print_strips(job, path, &choice.strips, made, error);
    strip_choice_release(&choice);
    return status;
}

/* --- the printer's test page ------------------------------------------------------------------ */

static enum status test(const struct sheet_job *job, const char *path, struct sheet_made *made,
                        struct error *error)
{
    struct point page;
    struct dated dated;
    enum status status = print_setup_page(job->page, job->landscape, &page, error);

    (void)made;
    if (!status)
        status = date_it(job, "How this printer prints", &dated, error);
    return status ? status : sheet_write_test(path, page, &dated.about, job->duplex, error);
}

/* --- whichever it is -------------------------------------------------------------------------- */

enum status sheet_job_write(const struct sheet_job *job, const char *path, struct sheet_made *made,
                            struct error *error)
{
    static const struct {
        const char *kind;
        enum status (*write)(const struct sheet_job *, const char *, struct sheet_made *,
                             struct error *);
    } kinds[] = {{"chart", chart}, {"window", window}, {"labels", labels},
                 {"range", range}, {"strip", strip},   {"test", test}};
    enum status status = sheet_check_name(path, error);

    *made = (struct sheet_made){.rows = 0};
    for (size_t i = 0; !status && i < sizeof kinds / sizeof *kinds; i++)
        if (strcmp(job->kind, kinds[i].kind) == 0)
            return kinds[i].write(job, path, made, error);
    return status ? status
                  : error_set(error, STATUS_USAGE,
                              "sheet prints a chart, a window, labels, strips, the range or a test "
                              "page, not '%.60s'",
                              job->kind);
}
