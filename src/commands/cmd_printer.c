#include "commands.h"
#include "location/printed_test.h"
#include "output/print_setup.h"

#include <stdio.h>

struct printer_settings {
    double left, top, width, height;
    double back_left, back_top;
    const char *photo;
    const char *back_photo;
    const char *page;
    bool forget;
    const char *inventory;
    enum table_format format;
};

static const struct option printer_options[] = {
    OPTION_BETWEEN(struct printer_settings, left, 10, 50, "left", "MM",
                   "from the paper's left edge to the test page's frame; 30 is true"),
    OPTION_BETWEEN(struct printer_settings, top, 10, 50, "top", "MM",
                   "from the paper's upper edge to the frame; 30 is true"),
    OPTION_BETWEEN(struct printer_settings, width, 90, 110, "width", "MM",
                   "the frame's width; 100 is true"),
    OPTION_BETWEEN(struct printer_settings, height, 135, 165, "height", "MM",
                   "the frame's height; 150 is true"),
    OPTION_BETWEEN(struct printer_settings, back_left, 10, 50, "back-left", "MM",
                   "the same on the back, by its own left edge"),
    OPTION_BETWEEN(struct printer_settings, back_top, 10, 50, "back-top", "MM",
                   "the same on the back, by its own upper edge"),
    OPTION(struct printer_settings, photo, "photo", "FILE",
           "a photo of the test page on a darker ground, instead of measures"),
    OPTION(struct printer_settings, back_photo, "back-photo", "FILE", "a photo of its back"),
    OPTION(struct printer_settings, page, "page", "SIZE",
           "of the paper photographed: a4, a5, letter, or WIDTHxHEIGHT in mm; a4 if not told"),
    OPTION_SWITCH(struct printer_settings, forget, "forget", "drop what is kept of that printer"),
    COMMANDS_INVENTORY_OPTION(struct printer_settings),
    COMMANDS_FORMAT_OPTION(struct printer_settings),
    {0}};

/* --- listing ---------------------------------------------------------------------------------- */

static void put_printer(struct table *table, const struct inventory_printer *printer)
{
    table_row(table);
    table_text(table, COLUMN("printer"), printer->name);
    table_number(table, COLUMN("scale_x", .decimals = 4), printer->scale.x);
    table_number(table, COLUMN("scale_y", .decimals = 4), printer->scale.y);
    table_number(table, COLUMN("shift_x_mm", .decimals = 2), printer->front_mm.x);
    table_number(table, COLUMN("shift_y_mm", .decimals = 2), printer->front_mm.y);
    table_number(table, COLUMN("back_shift_x_mm", .decimals = 2), printer->back_mm.x);
    table_number(table, COLUMN("back_shift_y_mm", .decimals = 2), printer->back_mm.y);
}

static enum status list(const struct printer_settings *settings, struct error *error)
{
    struct inventory_setups setups = {0};
    struct table table = {0};
    enum status status = print_setup_load(settings->inventory, &setups, error);

    if (!status && !setups.printer_count)
        fputs("woad: no printer is kept yet; print 'woad sheet test test.pdf', which says how\n",
              stderr);
    put_printer(&table, &(struct inventory_printer){.name = ""});
    table_keep_columns(&table);
    for (size_t i = 0; !status && i < setups.printer_count; i++)
        put_printer(&table, &setups.printers[i]);
    if (!status)
        status = commands_print(&table, settings->format, error);
    table_release(&table);
    inventory_setups_release(&setups);
    return status;
}

/* --- measuring -------------------------------------------------------------------------------- */

static enum status read_photo(const char *path, const char *page, struct printed_test *test,
                              struct error *error)
{
    struct point page_mm;
    struct photo photo = {.scale = 0};
    enum status status = print_setup_page(page, false, &page_mm, error);

    if (!status)
        status = photo_read(path, PHOTO_WORKING_PIXELS_MAX, &photo, error);
    if (!status)
        status = printed_test_read(&photo, page_mm, test, error);
    photo_release(&photo);
    return status;
}

static enum status measure_front(const struct printer_settings *settings,
                                 struct inventory_printer *printer, struct error *error)
{
    struct printed_test test;
    enum status status = STATUS_OK;

    if (settings->photo)
        status = read_photo(settings->photo, settings->page, &test, error);
    else if (settings->left > 0 && settings->top > 0 && settings->width > 0 && settings->height > 0)
        test = printed_test_measured((struct point){settings->left, settings->top},
                                     (struct point){settings->width, settings->height});
    else
        status = error_set(error, STATUS_USAGE,
                           "of a printer's test page, which 'woad sheet test' prints, --left, "
                           "--top, --width and --height are wanted, all four, or --photo");
    if (status)
        return status;
    printer->scale = test.scale;
    printer->front_mm = printer->back_mm = test.shift_mm;
    return STATUS_OK;
}

/* What turns the paper over moves it; that makes it no larger. */
static enum status measure_back(const struct printer_settings *settings,
                                struct inventory_printer *printer, struct error *error)
{
    struct printed_test test;
    enum status status = STATUS_OK;

    if (settings->back_photo) {
        status = read_photo(settings->back_photo, settings->page, &test, error);
    } else if (settings->back_left > 0 && settings->back_top > 0) {
        const struct point size = {PRINTED_TEST_WIDTH_MM * printer->scale.x,
                                   PRINTED_TEST_HEIGHT_MM * printer->scale.y};

        test = printed_test_measured((struct point){settings->back_left, settings->back_top}, size);
    } else if (settings->back_left > 0 || settings->back_top > 0) {
        return error_set(error, STATUS_USAGE, "--back-left and --back-top are wanted, both");
    } else {
        return STATUS_OK;
    }
    if (!status)
        printer->back_mm = test.shift_mm;
    return status;
}

static enum status keep(const struct printer_settings *settings, const char *name,
                        struct error *error)
{
    struct inventory_printer printer = {.name = ""};
    struct inventory *inventory = NULL;
    bool short_enough =
        snprintf(printer.name, sizeof printer.name, "%s", name) < (int)sizeof printer.name;
    enum status status = measure_front(settings, &printer, error);

    if (!status)
        status = measure_back(settings, &printer, error);
    if (!short_enough)
        printer.name[0] = '\0'; /* which is refused */
    if (!status)
        status = print_setup_open(settings->inventory, &inventory, error);
    if (!status)
        status = inventory_keep_printer(inventory, &printer, error);
    inventory_close(inventory);
    if (!status)
        fprintf(stderr,
                "woad: '%s' prints %.2f %% wide and %.2f %% high, %+.1f mm right and %+.1f mm "
                "down; 'woad sheet ... --printer' makes up for it\n",
                printer.name, 100 * printer.scale.x, 100 * printer.scale.y, printer.front_mm.x,
                printer.front_mm.y);
    return status;
}

static enum status forget(const struct printer_settings *settings, const char *name,
                          struct error *error)
{
    struct inventory *inventory = NULL;
    enum status status = print_setup_open(settings->inventory, &inventory, error);

    if (!status)
        status = inventory_drop_printer(inventory, name, error);
    inventory_close(inventory);
    return status;
}

/* --- the command ------------------------------------------------------------------------------ */

static int run_printer(const struct command *command, int count, char **words)
{
    struct printer_settings settings = {.forget = false};
    struct error error;
    enum status status = options_parse(command, &count, words, &settings, &error);

    if (!status && !count)
        status = list(&settings, &error);
    else if (!status && settings.forget)
        status = forget(&settings, words[0], &error);
    else if (!status)
        status = keep(&settings, words[0], &error);
    return commands_report(status, &error);
}

const struct command command_printer = {
    .name = "printer",
    .operands = "[NAME]",
    .summary = "keep how a printer prints, by its test page, so that sheets come out true",
    .options = printer_options,
    .operands_maximum = 1,
    .run = run_printer,
};
