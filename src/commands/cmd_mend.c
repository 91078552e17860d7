#include "base/nearest.h"
#include "commands.h"
#include "inventory/changes.h"
#include "inventory/inventory.h"

#include <string.h>

/* The commands that set right what is stored: rename, merge, forget, amend and undo. */

struct mend_settings {
    const char *inventory;
    const char *names;
    struct inventory_fresh fresh;
    const char *batch;
    const char *paper;
    struct photo_time inked_at;
    struct photo_time at;
};

static const struct option mend_options[] = {COMMANDS_INVENTORY_OPTION(struct mend_settings), {0}};

/* What one of the commands does with its words. */
typedef enum status mend(struct inventory *inventory, const struct mend_settings *settings,
                         char **words, struct inventory_told *told, struct error *error);

static int run_mend(const struct command *command, int count, char **words, mend *change)
{
    struct mend_settings settings = {0};
    char path[INVENTORY_PATH_SIZE];
    struct inventory *inventory = NULL;
    struct inventory_told told = {""};
    struct error error;
    enum status status = options_parse(command, &count, words, &settings, &error);

    if (!status)
        status = inventory_location(settings.inventory, path, &error);
    if (!status)
        status = inventory_open(path, INVENTORY_WRITE, &inventory, &error);
    if (!status)
        status = change(inventory, &settings, words, &told, &error);
    if (!status)
        puts(told.text);
    inventory_close(inventory);
    return commands_report(status, &error);
}

/* --- rename and merge ----------------------------------------------------------------------- */

static enum status rename_ink(struct inventory *inventory, const struct mend_settings *settings,
                              char **words, struct inventory_told *told, struct error *error)
{
    (void)settings;
    if (!words[1][0])
        return error_set(error, STATUS_USAGE,
                         "the new name of '%.120s' is empty; tell what it is to be called",
                         words[0]);
    return inventory_rename(inventory, words[0], words[1], told, error);
}

static int run_rename(const struct command *command, int count, char **words)
{
    return run_mend(command, count, words, rename_ink);
}

const struct command command_rename = {
    .name = "rename",
    .operands = "OLD NEW",
    .summary = "call an ink otherwise",
    .options = mend_options,
    .operands_minimum = 2,
    .operands_maximum = 2,
    .run = run_rename,
};

static enum status merge_inks(struct inventory *inventory, const struct mend_settings *settings,
                              char **words, struct inventory_told *told, struct error *error)
{
    (void)settings;
    return inventory_merge(inventory, words[0], words[1], told, error);
}

static int run_merge(const struct command *command, int count, char **words)
{
    return run_mend(command, count, words, merge_inks);
}

const struct command command_merge = {
    .name = "merge",
    .operands = "INK INTO-INK",
    .summary = "hand the readings of an ink over to another: both are one",
    .options = mend_options,
    .operands_minimum = 2,
    .operands_maximum = 2,
    .run = run_merge,
};

/* --- forget --------------------------------------------------------------------------------- */

static enum status forget_thing(struct inventory *inventory, const struct mend_settings *settings,
                                char **words, struct inventory_told *told, struct error *error)
{
    static const char *const things[] = {[INVENTORY_PHOTO] = "photo",
                                         [INVENTORY_INK] = "ink",
                                         [INVENTORY_CHART] = "chart",
                                         [INVENTORY_COMBINATION] = "combination"};
    struct nearest nearest = nearest_start(words[0]);

    (void)settings;
    for (size_t i = 0; i < sizeof things / sizeof *things; i++) {
        if (strcmp(things[i], words[0]) == 0)
            return inventory_forget(inventory, (enum inventory_thing)i, words[1], told, error);
        nearest_offer(&nearest, things[i]);
    }
    if (nearest.best)
        return error_set(error, STATUS_USAGE, "a '%.60s' can't be forgotten; did you mean '%s'?",
                         words[0], nearest.best);
    return error_set(error, STATUS_USAGE,
                     "a '%.60s' can't be forgotten; say 'photo', 'ink' or 'chart' and its "
                     "name, or 'combination' and its number",
                     words[0]);
}

static int run_forget(const struct command *command, int count, char **words)
{
    return run_mend(command, count, words, forget_thing);
}

const struct command command_forget = {
    .name = "forget",
    .operands = "photo|ink|chart NAME|combination NUMBER",
    .summary = "leave a photo's, ink's or chart's readings, or a combination, out of everything",
    .options = mend_options,
    .operands_minimum = 2,
    .operands_maximum = 2,
    .run = run_forget,
};

/* --- amend ---------------------------------------------------------------------------------- */

static const struct option amend_options[] = {
    OPTION(struct mend_settings, names, "names", "FILE.csv",
           "the ink names of its cells, laid out as on the sheet"),
    OPTION_SWITCH(struct mend_settings, fresh.inks, "new-inks",
                  "names that look like slips of known ones are inks of their own"),
    OPTION(struct mend_settings, batch, "batch", "LABEL", "the batch its swatches are from"),
    OPTION(struct mend_settings, paper, "paper", "TEXT", "what its swatches were made on"),
    OPTION(struct mend_settings, inked_at, "inked-at", "TIME", "when its swatches were made"),
    OPTION(struct mend_settings, at, "at", "TIME", "when it was taken (a photo)"),
    COMMANDS_INVENTORY_OPTION(struct mend_settings),
    {0}};

static enum status check_amendment(const struct mend_settings *settings, char **words,
                                   struct error *error)
{
    bool chart = strcmp(words[0], "chart") == 0, timed = settings->at.source != PHOTO_TIME_NONE;

    if (!chart && strcmp(words[0], "photo") != 0)
        return error_set(error, STATUS_USAGE,
                         "a '%.60s' can't be amended; say 'photo' and its file or hash, or 'chart' "
                         "and its name",
                         words[0]);
    if (chart && timed)
        return error_set(error, STATUS_USAGE,
                         "a chart has no time at which it was taken; amend its photos one by one");
    if (!settings->names && !settings->batch && !settings->paper && !timed &&
        settings->inked_at.source == PHOTO_TIME_NONE)
        return error_set(error, STATUS_USAGE,
                         "there is nothing to amend in '%.120s'; tell it with --names, --batch, "
                         "--paper, --inked-at or --at",
                         words[1]);
    return STATUS_OK;
}

static enum status amend(struct inventory *inventory, const struct mend_settings *settings,
                         char **words, struct inventory_told *told, struct error *error)
{
    struct names names = {0};
    struct inventory_amendment amendment = {
        .thing = strcmp(words[0], "chart") == 0 ? INVENTORY_CHART : INVENTORY_PHOTO,
        .name = words[1],
        .fresh = settings->fresh,
        .batch = settings->batch,
        .paper = settings->paper,
        .inked_at = settings->inked_at,
        .taken = settings->at};
    enum status status = check_amendment(settings, words, error);

    if (!status && settings->names)
        status = names_read(settings->names, &names, error);
    if (settings->names)
        amendment.names = &names;
    if (!status)
        status = inventory_amend(inventory, &amendment, told, error);
    names_release(&names);
    return status;
}

static int run_amend(const struct command *command, int count, char **words)
{
    return run_mend(command, count, words, amend);
}

const struct command command_amend = {
    .name = "amend",
    .operands = "photo|chart NAME",
    .summary = "set right what was told wrongly of a stored photo or chart, or tell it late",
    .options = amend_options,
    .operands_minimum = 2,
    .operands_maximum = 2,
    .run = run_amend,
};

/* --- undo ----------------------------------------------------------------------------------- */

static enum status undo_last(struct inventory *inventory, const struct mend_settings *settings,
                             char **words, struct inventory_told *told, struct error *error)
{
    enum status status = inventory_undo(inventory, told, error);

    (void)settings;
    (void)words;
    if (!status)
        fputs("taken back: ", stdout);
    return status;
}

static int run_undo(const struct command *command, int count, char **words)
{
    return run_mend(command, count, words, undo_last);
}

const struct command command_undo = {
    .name = "undo",
    .operands = "",
    .summary = "take back the last change: a rename, merge, forget or amend",
    .options = mend_options,
    .run = run_undo,
};
