#include "commands.h"
#include "inventory/changes.h"
#include "inventory/inventory.h"

struct history_settings {
    const char *inventory;
    enum table_format format;
};

static const struct option history_options[] = {COMMANDS_INVENTORY_OPTION(struct history_settings),
                                                COMMANDS_FORMAT_OPTION(struct history_settings),
                                                {0}};

static void put_change(struct table *table, const struct inventory_change *change)
{
    char made[CALENDAR_TEXT_SIZE], undone[CALENDAR_TEXT_SIZE];

    calendar_format(&change->made, made);
    calendar_format(&change->undone, undone);
    table_row(table);
    table_text(table, COLUMN("made"), made);
    table_text(table, COLUMN("change"), change->told);
    table_text(table, COLUMN("taken_back", .title = "taken back"), undone[0] ? undone : NULL);
}

static enum status print_history(struct inventory *inventory, enum table_format format,
                                 struct error *error)
{
    static const struct inventory_change nothing = {0};
    struct inventory_changes changes = {0};
    struct table table = {0};
    enum status status = inventory_read_changes(inventory, &changes, error);

    if (!status) {
        put_change(&table, &nothing);
        table_keep_columns(&table);
        for (size_t i = 0; i < changes.count; i++)
            put_change(&table, &changes.items[i]);
        status = table_check(&table, error);
    }
    if (!status)
        status = commands_print(&table, format, error);
    table_release(&table);
    inventory_changes_release(&changes);
    return status;
}

static int run_history(const struct command *command, int count, char **words)
{
    struct history_settings settings = {0};
    char path[INVENTORY_PATH_SIZE];
    struct inventory *inventory = NULL;
    struct error error;
    enum status status = options_parse(command, &count, words, &settings, &error);

    if (!status)
        status = inventory_location(settings.inventory, path, &error);
    if (!status)
        status = inventory_open(path, INVENTORY_READ, &inventory, &error);
    if (!status)
        status = print_history(inventory, settings.format, &error);
    inventory_close(inventory);
    return commands_report(status, &error);
}

const struct command command_history = {
    .name = "history",
    .operands = "",
    .summary = "list what was set right in the inventory, the newest first",
    .options = history_options,
    .run = run_history,
};
