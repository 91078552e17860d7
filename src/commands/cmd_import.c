#include "commands.h"
#include "import_readings.h"
#include "inventory/inventory.h"

struct import_settings {
    const char *inventory;
    struct inventory_fresh fresh;
};

static const struct option import_options[] = {
    OPTION_SWITCH(struct import_settings, fresh.inks, "new-inks",
                  "names that look like slips of known ones are inks of their own"),
    COMMANDS_INVENTORY_OPTION(struct import_settings),
    {0}};

static enum status take(void *context, const struct inventory_reading *kept, struct error *error)
{
    return inventory_add(context, kept, error);
}

static enum status add_readings(const char *path, const char *file,
                                const struct inventory_fresh *fresh, struct error *error)
{
    struct inventory *inventory = NULL;
    struct inventory_adding adding = {0};
    const struct inventory_taker taker = {take, &adding};
    struct import_gaps gaps;
    enum status status = inventory_open(path, INVENTORY_CREATE, &inventory, error);

    if (!status)
        status = inventory_add_begin(inventory, fresh, &adding, error);
    if (!status)
        status = import_readings(file, &taker, &gaps, error);
    if (inventory)
        status = inventory_add_end(&adding, status, error);
    if (!status)
        fprintf(stderr, "woad: %s: readings added to the inventory: %d, of photos: %d\n", file,
                adding.readings, adding.photos);
    inventory_close(inventory);
    return status;
}

static enum status refuse_inventory(const char *file, struct error *error)
{
    if (!inventory_is_one(file))
        return STATUS_OK;
    return error_set(
        error, STATUS_FORMAT,
        "%s: is a whole inventory, no CSV file; 'woad inventory restore %s' puts it in "
        "place of yours, --inventory %s uses it where it lies",
        file, file, file);
}

static int run_import(const struct command *command, int count, char **words)
{
    struct import_settings settings = {0};
    char path[INVENTORY_PATH_SIZE];
    struct import_gaps gaps = {0};
    struct error error;
    enum status status = options_parse(command, &count, words, &settings, &error);

    if (!status)
        status = inventory_location(settings.inventory, path, &error);
    if (!status)
        status = refuse_inventory(words[0], &error);
    if (!status) /* a file that can't be read makes no inventory and keeps nobody waiting */
        status = import_readings(words[0], NULL, &gaps, &error);
    if (!status)
        status = add_readings(path, words[0], &settings.fresh, &error);
    if (!status && gaps.no_uncertainty)
        fprintf(stderr, "woad: %s: readings without uncertainty (u95), taken as exact: %zu\n",
                words[0], gaps.no_uncertainty);
    if (!status && gaps.no_name)
        fprintf(stderr, "woad: %s: readings of ink without a name, kept as no ink: %zu\n", words[0],
                gaps.no_name);
    return commands_report(status, &error);
}

const struct command command_import = {
    .name = "import",
    .operands = "FILE.csv",
    .summary = "add readings from a CSV file as 'woad export' prints it",
    .options = import_options,
    .operands_minimum = 1,
    .operands_maximum = 1,
    .run = run_import,
};
