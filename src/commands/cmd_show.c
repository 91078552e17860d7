#include "commands.h"
#include "inventory/inventory.h"
#include "notes.h"
#include "output/rows.h"
#include "questions/range_load.h"

struct show_settings {
    const char *inventory;
    enum table_format format;
};

static const struct option show_options[] = {COMMANDS_INVENTORY_OPTION(struct show_settings),
                                             COMMANDS_FORMAT_OPTION(struct show_settings),
                                             {0}};

/* The ink's colour on standard error, its readings on standard output. */
static enum status print_ink(struct inventory *inventory, const struct range *range,
                             const char *name, enum table_format format, struct error *error)
{
    const struct range_ink *ink = NULL;
    struct inventory_readings readings = {0};
    struct table table = {0};
    enum status status = range_find(range, name, &ink, error);

    if (!status)
        status = inventory_read_readings(inventory, name, &readings, error);
    if (!status)
        status = rows_of_ink_readings(&readings, range, &table, error);
    if (!status)
        notes_of_colour(ink, &range->facts[ink - range->inks], stderr);
    if (!status)
        status = commands_print(&table, format, error);
    table_release(&table);
    inventory_readings_release(&readings);
    return status;
}

static enum status show_ink(const char *path, const char *ink, enum table_format format,
                            struct error *error)
{
    struct inventory *inventory = NULL;
    struct range range = {0};
    enum status status = inventory_open(path, INVENTORY_READ, &inventory, error);

    if (!status)
        status = range_load(inventory, NULL, &range, error);
    if (!status)
        status = print_ink(inventory, &range, ink, format, error);
    range_release(&range);
    inventory_close(inventory);
    return status;
}

static int run_show(const struct command *command, int count, char **words)
{
    struct show_settings settings = {0};
    char path[INVENTORY_PATH_SIZE];
    struct error error;
    enum status status = options_parse(command, &count, words, &settings, &error);

    if (!status)
        status = inventory_location(settings.inventory, path, &error);
    if (!status)
        status = show_ink(path, words[0], settings.format, &error);
    return commands_report(status, &error);
}

const struct command command_show = {
    .name = "show",
    .operands = "INK",
    .summary = "show an ink's colour and every reading of it",
    .options = show_options,
    .operands_minimum = 1,
    .operands_maximum = 1,
    .run = run_show,
};
