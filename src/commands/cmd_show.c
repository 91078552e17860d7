#include "base/nearest.h"
#include "commands.h"
#include "inventory/inventory.h"
#include "output/rows.h"

#include <string.h>

struct show_settings {
    const char *inventory;
    enum table_format format;
};

static const struct option show_options[] = {COMMANDS_INVENTORY_OPTION(struct show_settings),
                                             COMMANDS_FORMAT_OPTION(struct show_settings),
                                             {0}};

/* Find the ink as the inventory spells it; say what is near if it is not there. */
static enum status check_ink(const struct inventory_inks *inks, const char *ink,
                             struct error *error)
{
    struct nearest nearest = nearest_start(ink);

    for (size_t i = 0; i < inks->count; i++) {
        if (strcmp(inks->items[i].name, ink) == 0)
            return STATUS_OK;
        nearest_offer(&nearest, inks->items[i].name);
    }
    if (nearest.best)
        return error_set(error, STATUS_INVENTORY,
                         "the inventory holds no ink '%.120s'; did you mean '%s'?", ink,
                         nearest.best);
    return error_set(error, STATUS_INVENTORY,
                     "the inventory holds no ink '%.120s'; 'woad inks' lists those it holds", ink);
}

static enum status print_readings(struct inventory *inventory, const char *ink,
                                  enum table_format format, struct error *error)
{
    struct inventory_readings readings = {0};
    struct table table = {0};
    enum status status = inventory_read_readings(inventory, ink, &readings, error);

    if (!status)
        status = rows_of_ink_readings(&readings, &table, error);
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
    struct inventory_inks inks = {0};
    enum status status = inventory_open(path, INVENTORY_READ, &inventory, error);

    if (!status)
        status = inventory_read_inks(inventory, &inks, error);
    if (!status)
        status = check_ink(&inks, ink, error);
    if (!status)
        status = print_readings(inventory, ink, format, error);
    inventory_inks_release(&inks);
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
    .summary = "list every reading of one ink",
    .options = show_options,
    .operands_minimum = 1,
    .operands_maximum = 1,
    .run = run_show,
};
