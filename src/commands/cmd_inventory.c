#include "base/nearest.h"
#include "commands.h"
#include "inventory/backup.h"
#include "inventory/inventory.h"

#include <string.h>

struct inventory_settings {
    const char *inventory;
};

static const struct option inventory_options[] = {
    COMMANDS_INVENTORY_OPTION(struct inventory_settings), {0}};

static enum status print_content(struct inventory *inventory, const char *path, struct error *error)
{
    struct inventory_content content = {0};
    enum status status = inventory_verify(inventory, &content, error);

    if (!status)
        printf("%s is sound (readings: %lld, photos: %lld, combinations: %lld)\n", path,
               content.readings, content.photos, content.combinations);
    return status;
}

static enum status verify(const char *path, const char *file, struct error *error)
{
    struct inventory *inventory = NULL;
    enum status status = inventory_open(path, INVENTORY_READ, &inventory, error);

    (void)file;
    if (!status)
        status = print_content(inventory, path, error);
    inventory_close(inventory);
    return status;
}

static enum status back_up(const char *path, const char *file, struct error *error)
{
    struct inventory *inventory = NULL;
    struct inventory_content content = {0};
    enum status status = inventory_open(path, INVENTORY_READ, &inventory, error);

    if (!status)
        status = inventory_verify(inventory, &content, error);
    if (!status)
        status = inventory_backup(inventory, file, error);
    if (!status)
        printf("%s holds all of it (readings: %lld, photos: %lld, combinations: %lld)\n", file,
               content.readings, content.photos, content.combinations);
    inventory_close(inventory);
    return status;
}

static enum status restore(const char *path, const char *file, struct error *error)
{
    char kept[INVENTORY_PATH_SIZE];
    enum status status = inventory_restore(path, file, kept, error);

    if (!status && kept[0])
        fprintf(stderr, "woad: what the inventory held until now is kept in %s\n", kept);
    return status ? status : verify(path, file, error);
}

static enum status move(const char *path, const char *file, struct error *error)
{
    char kept[INVENTORY_PATH_SIZE];
    enum status status = inventory_move(path, file, kept, error);

    if (!status)
        fprintf(stderr,
                "woad: moved; it is found there with --inventory %s, or with that path in "
                "$WOAD_INVENTORY (the old file lies in %s)\n",
                file, kept);
    return status ? status : verify(file, file, error);
}

/* What can be done with the inventory as a whole. */
static const struct {
    const char *name;
    bool takes_file;
    enum status (*run)(const char *path, const char *file, struct error *error);
} deeds[] = {{"backup", true, back_up},
             {"verify", false, verify},
             {"restore", true, restore},
             {"move", true, move}};

static enum status run_deed(const char *path, int count, char **words, struct error *error)
{
    struct nearest nearest = nearest_start(words[0]);

    for (size_t i = 0; i < sizeof deeds / sizeof *deeds; i++) {
        nearest_offer(&nearest, deeds[i].name);
        if (strcmp(deeds[i].name, words[0]) != 0)
            continue;
        if (deeds[i].takes_file != (count == 2))
            return error_set(error, STATUS_USAGE,
                             "'woad inventory %s' takes %s; see 'woad help "
                             "inventory'",
                             words[0],
                             deeds[i].takes_file ? "the name of a file" : "no further word");
        return deeds[i].run(path, count == 2 ? words[1] : NULL, error);
    }
    return error_set(error, STATUS_USAGE, "an inventory can't be told to '%.60s'; %s%s%s", words[0],
                     nearest.best ? "did you mean '" : "say backup, verify, restore or move",
                     nearest.best ? nearest.best : "", nearest.best ? "'?" : "");
}

static int run_inventory(const struct command *command, int count, char **words)
{
    struct inventory_settings settings = {0};
    char path[INVENTORY_PATH_SIZE];
    struct error error;
    enum status status = options_parse(command, &count, words, &settings, &error);

    if (!status)
        status = inventory_location(settings.inventory, path, &error);
    if (!status)
        status = run_deed(path, count, words, &error);
    return commands_report(status, &error);
}

const struct command command_inventory = {
    .name = "inventory",
    .operands = "backup FILE|verify|restore FILE|move FILE",
    .summary = "back up the whole inventory, check it, bring a backup back, or move it",
    .options = inventory_options,
    .operands_minimum = 1,
    .operands_maximum = 2,
    .run = run_inventory,
};
