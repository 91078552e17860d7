#include "commands.h"
#include "inventory/inventory.h"
#include "output/rows.h"

struct export_settings {
    const char *inventory;
    enum table_format format;
};

static const struct option export_options[] = {COMMANDS_INVENTORY_OPTION(struct export_settings),
                                               COMMANDS_FORMAT_OPTION(struct export_settings),
                                               {0}};

static enum status print_everything(struct inventory *inventory, enum table_format format,
                                    struct error *error)
{
    struct inventory_readings readings = {0};
    struct table table = {0};
    enum status status = inventory_read_readings(inventory, NULL, &readings, error);

    if (!status)
        status = rows_of_export(&readings, &table, error);
    if (!status)
        status = commands_print(&table, format, error);
    table_release(&table);
    inventory_readings_release(&readings);
    return status;
}

static int run_export(const struct command *command, int count, char **words)
{
    struct export_settings settings = {.format = TABLE_CSV};
    char path[INVENTORY_PATH_SIZE];
    struct inventory *inventory = NULL;
    struct error error;
    enum status status = options_parse(command, &count, words, &settings, &error);

    if (!status)
        status = inventory_location(settings.inventory, path, &error);
    if (!status)
        status = inventory_open(path, INVENTORY_READ, &inventory, &error);
    if (!status)
        status = print_everything(inventory, settings.format, &error);
    inventory_close(inventory);
    return commands_report(status, &error);
}

const struct command command_export = {
    .name = "export",
    .operands = "",
    .summary = "print every reading of the inventory for another program",
    .options = export_options,
    .run = run_export,
};
