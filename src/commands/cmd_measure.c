#include "measure.h"

#include "base/memory.h"
#include "base/utf8.h"
#include "files/whole_file.h"
#include "inventory/known_names.h"

#include <stdlib.h>
#include <string.h>

#define TEXT_VALUE_MAX 200 /* bytes of a paper's name */
#define JOBS_MAX 64

static const struct option measure_options[] = {
    OPTION(struct measure_settings, names, "names", "FILE.csv",
           "the ink names, laid out as on the sheet"),
    OPTION(struct measure_settings, card, "card", "FILE",
           "the card's values (CGATS text), or the name of an edition"),
    OPTION(struct measure_settings, chart, "chart", "NAME",
           "what the sheet is called; else after the names file or the photo"),
    OPTION(struct measure_settings, at, "at", "TIME",
           "when the photo was taken; else as the photo or its file says"),
    OPTION(struct measure_settings, inked_at, "inked-at", "TIME", "when the swatches were made"),
    OPTION(struct measure_settings, batch, "batch", "LABEL",
           "the pad, bottle or re-inking the swatches are from"),
    OPTION(struct measure_settings, paper, "paper", "TEXT", "what they were made on"),
    OPTION_BETWEEN(struct measure_settings, card_mm, 20, 1000, "card-length", "MM",
                   "of a row of the card's patches, edge to edge: tells a sheet's print scale"),
    OPTION(struct measure_settings, card_at, "card-at", "X,Y,X,Y,X,Y,X,Y",
           "the card's corners, clockwise from the brown patch"),
    OPTION(struct measure_settings, chart_at, "chart-at", "X,Y,X,Y,X,Y,X,Y",
           "the chart's corners, clockwise from its first cell"),
    OPTION_BETWEEN(struct measure_settings, rows, 1, CHART_ROWS_MAX, "rows", "N",
                   "how many rows of cells the sheet has"),
    OPTION_BETWEEN(struct measure_settings, columns, 1, CHART_COLUMNS_MAX, "columns", "N",
                   "how many cells a row has"),
    OPTION_BETWEEN(struct measure_settings, which, 1, CHARTS_MAX, "which", "N",
                   "which of several charts in the photo, from the left or from above"),
    OPTION(struct measure_settings, turned, "turned", "0|90|180|270",
           "how the sheet lies in the photo, clockwise from upright; else as its blank cells say"),
    OPTION(struct measure_settings, check, "check", "FILE.png",
           "draw what was read, to see that it is right"),
    OPTION(struct measure_settings, corrected, "corrected", "FILE",
           "write the photo in true colour (JPEG or PNG)"),
    OPTION(struct measure_settings, profile, "profile", "FILE.icc",
           "write the fitted input profile"),
    OPTION_SWITCH(struct measure_settings, dry_run, "dry-run", "store nothing"),
    OPTION_SWITCH(struct measure_settings, again, "again",
                  "add another measurement of a photo that is stored"),
    OPTION_SWITCH(struct measure_settings, fresh.inks, "new-inks",
                  "names that look like slips of known ones are inks of their own"),
    OPTION_SWITCH(struct measure_settings, fresh.chart, "new-chart",
                  "so is the chart's name: it is another sheet"),
    OPTION_SWITCH(struct measure_settings, fresh.batch, "new-batch",
                  "so is the batch: it is another one"),
    OPTION_SWITCH(struct measure_settings, more, "more",
                  "say all that was seen of the photo, not the verdict alone"),
    COMMANDS_INVENTORY_OPTION(struct measure_settings),
    COMMANDS_FORMAT_OPTION(struct measure_settings),
    OPTION_BETWEEN(struct measure_settings, jobs, 1, JOBS_MAX, "jobs", "N",
                   "how many photos to measure at a time; 1 if not told"),
    {0}};

/* One name can't serve the pictures of several photos. */
static enum status refuse_shared_file(const char *option, const char *path, int photos,
                                      struct error *error)
{
    if (!path || photos < 2)
        return STATUS_OK;
    return error_set(error, STATUS_USAGE,
                     "--%s names one file, %s, but %d photos are to be measured; measure them one "
                     "by one",
                     option, path, photos);
}

/* What comes in must come in again from an export. */
static enum status check_text(const char *option, const char *text, size_t bytes_max,
                              struct error *error)
{
    if (text && !utf8_is_plain(text))
        return error_set(error, STATUS_USAGE,
                         "--%s '%.60s' holds a character that can't be seen or is no UTF-8; write "
                         "it in plain text",
                         option, text);
    if (!text || strlen(text) <= bytes_max)
        return STATUS_OK;
    return error_set(error, STATUS_USAGE,
                     "--%s is %zu bytes long, at most %zu are kept; shorten it", option,
                     strlen(text), bytes_max);
}

static enum status check_settings(const struct measure_settings *settings, int photos,
                                  struct error *error)
{
    const struct whole_file_plan plans[] = {{settings->check, &whole_file_png},
                                            {settings->corrected, &whole_file_jpeg_or_png},
                                            {settings->profile, &whole_file_icc}};
    enum status status = refuse_shared_file("check", settings->check, photos, error);

    if (!status)
        status = refuse_shared_file("corrected", settings->corrected, photos, error);
    if (!status)
        status = refuse_shared_file("profile", settings->profile, photos, error);
    if (!status)
        status = whole_file_check(plans, sizeof plans / sizeof *plans, error);
    if (!status)
        status = check_text("chart", settings->chart, NAMES_CHART_BYTES_MAX, error);
    if (!status)
        status = check_text("batch", settings->batch, NAMES_BATCH_BYTES_MAX, error);
    if (!status)
        status = check_text("paper", settings->paper, TEXT_VALUE_MAX, error);
    return status;
}

static enum status read_turn(struct measure_run *run, struct error *error)
{
    static const char *const words[] = {"0", "90", "180", "270"};
    const char *turned = run->settings.turned;

    if (!turned)
        return STATUS_OK;
    if (run->settings.chart_at.given)
        return error_set(error, STATUS_USAGE,
                         "--chart-at begins at the chart's first cell, and so tells how it lies; "
                         "leave --turned out");
    for (run->turns = 0; run->turns < 4; run->turns++)
        if (strcmp(turned, words[run->turns]) == 0)
            return STATUS_OK;
    return error_set(error, STATUS_USAGE,
                     "--turned: '%.40s' is no turn of a sheet; 0, 90, 180 or 270 was wanted, "
                     "clockwise from upright",
                     turned);
}

static enum status compare_names(const struct measure_settings *settings, const struct names *names,
                                 struct error *error)
{
    if ((!settings->rows || settings->rows == names->rows) &&
        (!settings->columns || settings->columns == names->columns))
        return STATUS_OK;
    return error_set(error, STATUS_USAGE,
                     "%s lays out %d rows x %d columns of cells, --rows or --columns say "
                     "otherwise; leave them out, or mend the file",
                     settings->names, names->rows, names->columns);
}

/* Mark the cells that hold a name: blank ones tell which way up the sheet lies. */
static enum status mark_named(struct measure_run *run, struct error *error)
{
    int count = run->names.rows * run->names.columns;

    run->named = memory_array((size_t)count, sizeof *run->named, "the named cells", error);
    if (!run->named)
        return error->status;
    for (int i = 0; i < count; i++)
        run->named[i] = run->names.cells[i].ink[0] != '\0';
    return STATUS_OK;
}

static enum status read_names(struct measure_run *run, struct error *error)
{
    enum status status;

    if (!run->settings.names)
        return STATUS_OK;
    status = names_read(run->settings.names, &run->names, error);
    if (!status)
        status = compare_names(&run->settings, &run->names, error);
    return status ? status : mark_named(run, error);
}

/* Names that are new, but look like slips of those that are there. */
static enum status check_names(const struct measure_run *run, struct error *error)
{
    const struct measure_settings *settings = &run->settings;
    const struct known_naming naming = {&run->names, settings->chart, settings->batch,
                                        settings->fresh};
    struct inventory *inventory = NULL;
    struct error unfound;
    enum status status = STATUS_OK;

    if (inventory_open(run->inventory_path, INVENTORY_READ, &inventory, &unfound))
        return STATUS_OK; /* without an inventory yet, no name is known */
    status = known_names_check(inventory, &naming, error);
    inventory_close(inventory);
    return status;
}

/* The inventory is looked at before any photo is measured: better told at once than at the end. */
static enum status find_inventory(struct measure_run *run, struct error *error)
{
    enum status status = inventory_location(run->settings.inventory, run->inventory_path, error);

    if (status)
        return run->settings.dry_run ? STATUS_OK : status; /* no place for one is no fault then */
    if (!run->settings.dry_run)
        status = inventory_check(run->inventory_path, error);
    return status ? status : check_names(run, error);
}

static int run_measure(const struct command *command, int count, char **words)
{
    struct measure_run run = {.settings = {.jobs = 1}};
    struct error error;
    enum status status = options_parse(command, &count, words, &run.settings, &error);

    if (!status)
        status = check_settings(&run.settings, count, &error);
    if (!status)
        status = read_turn(&run, &error);
    if (!status)
        status = read_names(&run, &error);
    if (!status)
        status = commands_read_card(run.settings.card, &run.card, &error);
    if (!status)
        status = find_inventory(&run, &error);
    if (status)
        commands_report(status, &error);
    else
        status = measure_all(&run, count, words);
    free(run.named);
    names_release(&run.names);
    return (int)status;
}

const struct command command_measure = {
    .name = "measure",
    .operands = "PHOTO...",
    .summary = "measure photos of a chart with a card beside it, and keep the readings",
    .options = measure_options,
    .operands_minimum = 1,
    .operands_maximum = -1,
    .run = run_measure,
};
