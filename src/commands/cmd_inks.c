#include "commands.h"
#include "inventory/inventory.h"
#include "output/rows.h"
#include "questions/range_load.h"

struct inks_settings {
    const char *inventory;
    enum table_format format;
};

static const struct option inks_options[] = {COMMANDS_INVENTORY_OPTION(struct inks_settings),
                                             COMMANDS_FORMAT_OPTION(struct inks_settings),
                                             {0}};

static enum status print_inks(struct inventory *inventory, enum table_format format,
                              struct error *error)
{
    struct range range = {0};
    struct table table = {0};
    enum status status = range_load(inventory, NULL, &range, error);

    if (!status)
        status = rows_of_inks(&range, &table, error);
    if (!status && range.count == 0)
        fputs("woad: the inventory holds no ink yet; 'woad measure PHOTO' adds them\n", stderr);
    if (!status)
        status = commands_print(&table, format, error);
    table_release(&table);
    range_release(&range);
    return status;
}

static int run_inks(const struct command *command, int count, char **words)
{
    struct inks_settings settings = {0};
    char path[INVENTORY_PATH_SIZE];
    struct inventory *inventory = NULL;
    struct error error;
    enum status status = options_parse(command, &count, words, &settings, &error);

    if (!status)
        status = inventory_location(settings.inventory, path, &error);
    if (!status)
        status = inventory_open(path, INVENTORY_READ, &inventory, &error);
    if (!status)
        status = print_inks(inventory, settings.format, &error);
    inventory_close(inventory);
    return commands_report(status, &error);
}

const struct command command_inks = {
    .name = "inks",
    .operands = "",
    .summary = "list the inks of the inventory with their colours",
    .options = inks_options,
    .run = run_inks,
};
