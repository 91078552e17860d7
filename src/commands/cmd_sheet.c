#include "base/memory.h"
#include "base/text.h"
#include "commands.h"
#include "values/calendar.h"
#include "inventory/printed_sheets.h"
#include "print_setup.h"
#include "sheet_inks.h"
#include "sheet_strips.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define COPIES_MAX 9
#define TITLE_USUAL "Swatch chart"
#define STOCK_USUAL "63.5x38.1"

struct sheet_settings {
    struct option_words names;
    const char *page;
    bool landscape;
    int rows;
    int columns;
    double cell_mm;
    int copies;
    int spare;
    const char *card_place;
    const char *title;
    struct photo_time date;
    int number;
    const char *stock;
    int start;
    bool plain;
    bool outlined;
    bool duplex;
    const char *printer;
    const char *inventory;
};

static const struct option sheet_options[] = {
    OPTION_TIMES(struct sheet_settings, names, OPTION_WORDS_MAX, "names", "FILE.csv",
                 "the inks, a field for each cell, instead of the range in colour order"),
    OPTION(struct sheet_settings, page, "page", "SIZE",
           "a4, a5, letter, or WIDTHxHEIGHT in mm; a4 if not told; labels come on their own"),
    OPTION_SWITCH(struct sheet_settings, landscape, "landscape", "the page lies on its long side"),
    OPTION_BETWEEN(struct sheet_settings, rows, 1, NAMES_SIDE_MAX, "rows", "N",
                   "chart, window, strip: rows of cells; as many as fit if not told"),
    OPTION_BETWEEN(struct sheet_settings, columns, 1, NAMES_SIDE_MAX, "columns", "N",
                   "chart, window: cells in a row; as many as fit if not told"),
    OPTION_BETWEEN(struct sheet_settings, cell_mm, 10, 200, "cell", "MM",
                   "chart, window: a cell's side; 22 if not told"),
    OPTION_BETWEEN(struct sheet_settings, copies, 1, COPIES_MAX, "copies", "N",
                   "chart, labels: cells for each ink, for later batches"),
    OPTION_BETWEEN(struct sheet_settings, spare, 0, 40, "spare", "N",
                   "chart: blank cells behind each family"),
    OPTION(struct sheet_settings, card_place, "card-place", "WIDTHxHEIGHT",
           "chart, window: keep a place for the card, in mm"),
    OPTION(struct sheet_settings, title, "title", "TEXT", "what stands at the top"),
    OPTION(struct sheet_settings, date, "date", "TIME",
           "the day it is dated with; today if not told"),
    OPTION_BETWEEN(struct sheet_settings, number, 1, TAG_SHEETS - 1, "number", "N",
                   "window: of the printed sheet that has this number"),
    OPTION(struct sheet_settings, stock, "stock", "NAME",
           "labels: a kind of 'woad stock', by its measures or its name; " STOCK_USUAL
           " if not told"),
    OPTION_BETWEEN(struct sheet_settings, start, 1, 1000, "start", "N",
                   "labels: the first label to use of a page begun before"),
    OPTION_SWITCH(struct sheet_settings, plain, "plain", "labels: names alone, without colours"),
    OPTION_SWITCH(struct sheet_settings, outlined, "outlined",
                  "labels: draw their edges, to cut by or to try a printer"),
    OPTION_SWITCH(struct sheet_settings, duplex, "duplex",
                  "strip, test: print the pages' backs too, turned over the long edge"),
    OPTION(struct sheet_settings, printer, "printer", "NAME",
           "make up for what 'woad printer' keeps of it"),
    COMMANDS_INVENTORY_OPTION(struct sheet_settings),
    {0}};

/* --- measures --------------------------------------------------------------------------------- */

static enum status lay_out(const struct sheet_settings *settings, const struct sheet_inks *inks,
                           struct printed_chart *chart, struct error *error)
{
    bool told = settings->rows || settings->columns || settings->cell_mm > 0;
    struct printed_wish wish = {.rows = told ? settings->rows : inks->rows,
                                .columns = told ? settings->columns : inks->columns,
                                .cell_mm = settings->cell_mm};
    const struct pair_option card = {"card-place", settings->card_place, 10, PAGE_SIDE_MAX_MM,
                                     NULL};
    enum status status =
        print_setup_page(settings->page, settings->landscape, &wish.page_mm, error);

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

static enum status date_it(const struct sheet_settings *settings, const char *title,
                           struct dated *dated, struct error *error)
{
    bool told = settings->printer != NULL;

    dated->time = calendar_date(&settings->date, dated->day);
    dated->about = (struct sheet_about){settings->title ? settings->title : title, dated->day,
                                        dated->time.utc_seconds, told ? &dated->printer : NULL};
    return told
               ? print_setup_printer(settings->inventory, settings->printer, &dated->printer, error)
               : STATUS_OK;
}

static enum status load(const struct sheet_settings *settings, struct sheet_inks *inks,
                        struct error *error)
{
    const struct sheet_choice choice = {.inventory = settings->inventory,
                                        .files = &settings->names,
                                        .copies = settings->copies,
                                        .spare = settings->spare};

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
static enum status keep_sheets(const struct sheet_settings *settings, const struct dated *dated,
                               struct inventory_sheet *sheets, int count, struct error *error)
{
    char path[INVENTORY_PATH_SIZE];
    struct inventory *inventory = NULL;
    enum status status = inventory_location(settings->inventory, path, error);

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

static void note_printed(const char *path, const struct printed_chart *chart,
                         const struct inventory_sheet *sheets, int count)
{
    fprintf(stderr, "woad: %s: %d x %d cells, sheet %d", path, chart->rows, chart->columns,
            sheets[0].number);
    if (count > 1)
        fprintf(stderr, " to %d", sheets[count - 1].number);
    fputs("; print at 100 %, not fitted to the page\n", stderr);
}

static enum status print_sheets(const struct sheet_settings *settings, const char *path,
                                const struct printed_chart *chart, struct inventory_sheet *sheets,
                                int count, struct error *error)
{
    struct sheet_page *pages = memory_array((size_t)count, sizeof *pages, "the pages", error);
    struct dated dated;
    enum status status = pages ? STATUS_OK : error->status;

    if (!status)
        status = date_it(settings, TITLE_USUAL, &dated, error);
    if (!status)
        status = keep_sheets(settings, &dated, sheets, count, error);
    for (int i = 0; !status && i < count; i++)
        pages[i] = (struct sheet_page){sheets[i].number, sheets[i].printing, &sheets[i].names};
    if (!status)
        status = sheet_write_chart(path, chart, &dated.about, pages, (size_t)count, error);
    if (!status)
        note_printed(path, chart, sheets, count);
    free(pages);
    return status;
}

static enum status chart(const struct sheet_settings *settings, const char *path,
                         struct error *error)
{
    struct sheet_inks inks = {0};
    struct printed_chart chart;
    struct inventory_sheet *sheets = NULL;
    int count = 0;
    enum status status = load(settings, &inks, error);

    if (!status)
        status = lay_out(settings, &inks, &chart, error);
    if (!status) {
        int a_page = chart.rows * chart.columns;

        count = ((int)inks.count + a_page - 1) / a_page;
        sheets = memory_array((size_t)count, sizeof *sheets, "the sheets", error);
        status = sheets ? STATUS_OK : error->status;
    }
    for (int i = 0; !status && i < count; i++)
        status = fill_sheet(&inks, &chart, i, &sheets[i], error);
    if (!status)
        status = print_sheets(settings, path, &chart, sheets, count, error);
    for (int i = 0; sheets && i < count; i++)
        inventory_sheet_release(&sheets[i]);
    free(sheets);
    sheet_inks_release(&inks);
    return status;
}

/* --- the stencil ------------------------------------------------------------------------------ */

static enum status find_printed(const struct sheet_settings *settings, struct printed_chart *chart,
                                struct error *error)
{
    char path[INVENTORY_PATH_SIZE];
    struct inventory *inventory = NULL;
    struct inventory_sheet sheet = {0};
    enum status status = inventory_location(settings->inventory, path, error);

    if (!status)
        status = inventory_open(path, INVENTORY_READ, &inventory, error);
    if (!status)
        status = inventory_read_sheet(inventory, settings->number, &sheet, error);
    if (!status && !sheet.number)
        status = error_set(error, STATUS_INVENTORY,
                           "%s: no sheet %d was printed with this inventory; the number stands "
                           "below a sheet's title",
                           path, settings->number);
    *chart = sheet.chart;
    inventory_sheet_release(&sheet);
    inventory_close(inventory);
    return status;
}

static enum status window(const struct sheet_settings *settings, const char *path,
                          struct error *error)
{
    const struct sheet_inks none = {0};
    struct printed_chart chart;
    struct dated dated;
    enum status status = settings->number ? find_printed(settings, &chart, error)
                                          : lay_out(settings, &none, &chart, error);

    if (!status)
        status = date_it(settings, TITLE_USUAL, &dated, error);
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
static enum status check_page(const struct sheet_settings *settings,
                              const struct inventory_stock *stock, struct error *error)
{
    const double slack = 0.5;
    struct point page = stock->page_mm;
    enum status status = STATUS_OK;

    if (settings->page || settings->landscape)
        status = print_setup_page(settings->page, settings->landscape, &page, error);
    if (status ||
        (fabs(page.x - stock->page_mm.x) <= slack && fabs(page.y - stock->page_mm.y) <= slack))
        return status;
    return error_set(error, STATUS_USAGE,
                     "the labels '%.60s' come on a page of %g x %g mm, not %g x %g; leave the page "
                     "out, choose others with --stock, or keep your own with 'woad stock'",
                     stock->name, stock->page_mm.x, stock->page_mm.y, page.x, page.y);
}

static enum status labels(const struct sheet_settings *settings, const char *path,
                          struct error *error)
{
    const struct label_style style = {settings->start, !settings->plain, settings->outlined};
    struct sheet_inks inks = {0};
    struct sheet_list list;
    struct inventory_stock stock;
    struct dated dated;
    enum status status = print_setup_stock(
        settings->inventory, settings->stock ? settings->stock : STOCK_USUAL, &stock, error);

    if (!status)
        status = check_page(settings, &stock, error);
    if (!status)
        status = load(settings, &inks, error);
    list = list_of(&inks);
    if (!status)
        status = date_it(settings, "Labels", &dated, error);
    if (!status)
        status = sheet_write_labels(path, &stock, &dated.about, &list, &style, error);
    sheet_inks_release(&inks);
    return status;
}

static enum status range(const struct sheet_settings *settings, const char *path,
                         struct error *error)
{
    struct sheet_inks inks = {0};
    struct sheet_list list;
    struct point page;
    struct dated dated;
    enum status status = print_setup_page(settings->page, settings->landscape, &page, error);

    if (!status)
        status = load(settings, &inks, error);
    list = list_of(&inks);
    if (!status)
        status = date_it(settings, "The range", &dated, error);
    if (!status)
        status = sheet_write_range(path, page, &dated.about, &list, error);
    sheet_inks_release(&inks);
    return status;
}

/* --- strips ----------------------------------------------------------------------------------- */

/* As many cells in a row as the longest strip has. */
static enum status lay_out_strips(const struct sheet_settings *settings,
                                  const struct sheet_strips *strips, struct printed_chart *chart,
                                  struct error *error)
{
    struct printed_wish wish = {.rows = settings->rows,
                                .flap_mm = strips->backs ? SHEET_FORESEEN_MM : SHEET_FLAP_MM};
    enum status status =
        print_setup_page(settings->page, settings->landscape, &wish.page_mm, error);

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

static enum status print_strips(const struct sheet_settings *settings, const char *path,
                                const struct sheet_strips *strips, struct error *error)
{
    struct printed_chart chart;
    struct dated dated;
    struct inventory_sheet *sheets = NULL;
    int *numbers = NULL, pages = 0;
    enum status status = lay_out_strips(settings, strips, &chart, error);

    if (!status)
        status = date_it(settings, "Combinations", &dated, error);
    if (!status) {
        pages = ((int)strips->count + chart.rows - 1) / chart.rows;
        sheets = memory_array((size_t)pages, sizeof *sheets, "the sheets", error);
        numbers = memory_array((size_t)pages, sizeof *numbers, "the sheets' numbers", error);
        status = sheets && numbers ? STATUS_OK : error->status;
    }
    for (int i = 0; !status && i < pages; i++)
        status = name_strips(strips, &chart, i, &sheets[i], error);
    if (!status)
        status = keep_sheets(settings, &dated, sheets, pages, error);
    for (int i = 0; !status && i < pages; i++)
        numbers[i] = sheets[i].number;
    if (!status)
        status = sheet_write_strips(path, &chart, &dated.about, strips, numbers, error);
    if (!status)
        note_printed(path, &chart, sheets, pages);
    for (int i = 0; sheets && i < pages; i++)
        inventory_sheet_release(&sheets[i]);
    free(sheets);
    free(numbers);
    return status;
}

static enum status strip(const struct sheet_settings *settings, char **words, int count,
                         struct error *error)
{
    struct strip_choice choice = {.log = {.tested_count = 0}};
    enum status status =
        strip_choice_load(settings->inventory, words + 1, count - 1, &choice, error);

    choice.strips.backs = settings->duplex;
    if (!status)
        status = print_strips(settings, words[0], &choice.strips, error);
    strip_choice_release(&choice);
    return status;
}

/* --- the printer's test page ------------------------------------------------------------------ */

static enum status test(const struct sheet_settings *settings, const char *path,
                        struct error *error)
{
    struct point page;
    struct dated dated;
    enum status status = print_setup_page(settings->page, settings->landscape, &page, error);

    if (!status)
        status = date_it(settings, "How this printer prints", &dated, error);
    return status ? status : sheet_write_test(path, page, &dated.about, settings->duplex, error);
}

/* --- the command ------------------------------------------------------------------------------ */

static enum status run_action(const struct sheet_settings *settings, int count, char **words,
                              struct error *error)
{
    static const struct {
        const char *name;
        enum status (*run)(const struct sheet_settings *, const char *, struct error *);
    } actions[] = {
        {"chart", chart}, {"window", window}, {"labels", labels}, {"range", range}, {"test", test}};
    enum status status = sheet_check_name(words[1], error);

    if (status)
        return status;
    if (strcmp(words[0], "strip") == 0)
        return strip(settings, words + 1, count - 1, error);
    if (count > 2)
        return error_set(error, STATUS_USAGE, "'%.60s' is one word too many after the file",
                         words[2]);
    for (size_t i = 0; i < sizeof actions / sizeof *actions; i++)
        if (strcmp(words[0], actions[i].name) == 0)
            return actions[i].run(settings, words[1], error);
    return error_set(
        error, STATUS_USAGE,
        "sheet prints a chart, a window, labels, strips, the range or a test page, not '%.60s'",
        words[0]);
}

static int run_sheet(const struct command *command, int count, char **words)
{
    struct sheet_settings settings = {.copies = 1};
    struct error error;
    enum status status = options_parse(command, &count, words, &settings, &error);

    if (!status)
        status = run_action(&settings, count, words, &error);
    return commands_report(status, &error);
}

const struct command command_sheet = {
    .name = "sheet",
    .operands = "chart|window|labels|range|strip|test FILE.pdf [INK...]",
    .summary =
        "pages to print: charts that photos are read by, stencils, labels, strips, the range",
    .options = sheet_options,
    .operands_minimum = 2,
    .operands_maximum = -1,
    .run = run_sheet,
};
