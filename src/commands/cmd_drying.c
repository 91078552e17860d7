#include "commands.h"
#include "questions/dried.h"
#include "output/drying_rows.h"
#include "output/drying_words.h"
#include "inventory/inventory.h"
#include "output/drying_plot.h"

#include <ctype.h>
#include <errno.h>
#include <stdio.h>
#include <string.h>
#include <sys/stat.h>

#define PATH_SIZE 1024

struct drying_settings {
    const char *chart;
    const char *batch;
    const char *plots;
    bool fits;
    bool more;
    const char *inventory;
    enum table_format format;
};

static const struct option drying_options[] = {
    OPTION(struct drying_settings, chart, "chart", "NAME",
           "all swatches of this chart, the one that moved furthest first"),
    OPTION(struct drying_settings, batch, "batch", "LABEL", "only swatches of this batch"),
    OPTION_SWITCH(struct drying_settings, fits, "fits",
                  "a row for each swatch, as --chart prints, instead of one for each reading"),
    OPTION(struct drying_settings, plots, "plots", "FOLDER",
           "draw how each swatch dried, an SVG file each"),
    COMMANDS_MORE_OPTION(struct drying_settings),
    COMMANDS_INVENTORY_OPTION(struct drying_settings),
    COMMANDS_FORMAT_OPTION(struct drying_settings),
    {0}};

/* --- plots ---------------------------------------------------------------------------------- */

static enum status make_folder(const char *path, struct error *error)
{
    struct stat found;

    if (mkdir(path, 0777) == 0 ||
        (errno == EEXIST && stat(path, &found) == 0 && S_ISDIR(found.st_mode)))
        return STATUS_OK;
    return error_set(error, STATUS_FILE, "%.200s: the folder for the plots can't be made (%s)",
                     path, strerror(errno));
}

/* "FOLDER/wet-slate-b3.svg": letters and digits as they are, anything else a hyphen. */
static void plot_path(const char *folder, const struct drying_swatch *swatch, char path[PATH_SIZE])
{
    char name[PATH_SIZE / 2];
    size_t length;

    snprintf(name, sizeof name, "%.120s %lld", swatch->kept->ink, swatch->kept->swatch_id);
    for (char *at = name; *at; at++) {
        unsigned char byte = (unsigned char)*at;

        *at = byte >= 0x80 || isalnum(byte) ? (char)(byte < 0x80 ? tolower(byte) : byte) : '-';
    }
    length = strlen(folder);
    snprintf(path, PATH_SIZE, "%.480s%s%s.svg", folder,
             length && folder[length - 1] == '/' ? "" : "/", name);
}

static enum status plot_swatch(const struct drying_set *set, const struct drying_swatch *swatch,
                               const char *folder, struct error *error)
{
    char path[PATH_SIZE], title[DRYING_PLACE_SIZE + 256], says[DRYING_SENTENCE_SIZE];
    char place[DRYING_PLACE_SIZE];
    const struct drying_plot plot = {title, says, &set->steadied[swatch->first], swatch->count,
                                     &swatch->drying};
    enum status status;

    drying_place(swatch, place);
    drying_sentence(swatch, says);
    snprintf(title, sizeof title, "%s (%s)", swatch->kept->ink, place);
    plot_path(folder, swatch, path);
    status = drying_plot_write(path, &plot, error);
    if (!status)
        fprintf(stderr, "%s: %s\n", swatch->kept->ink, path);
    return status;
}

static enum status write_plots(const struct drying_set *set, const char *folder,
                               struct error *error)
{
    enum status status = folder ? make_folder(folder, error) : STATUS_OK;

    for (size_t i = 0; folder && !status && i < set->count; i++)
        if (set->swatches[i].count)
            status = plot_swatch(set, &set->swatches[i], folder, error);
    return status;
}

/* --- rows ----------------------------------------------------------------------------------- */

static void note_swatch(const struct drying_swatch *swatch, FILE *out)
{
    char place[DRYING_PLACE_SIZE], says[DRYING_SENTENCE_SIZE];

    drying_place(swatch, place);
    drying_sentence(swatch, says);
    fprintf(out, "%s (%s): %s\n", swatch->kept->ink, place, says);
}

/* What stands behind the figures: what could be taken off, and what was left out. */
static void note_basis(const struct drying_set *set)
{
    size_t without = 0, undated = 0;

    for (size_t i = 0; i < set->count; i++) {
        without += set->swatches[i].count > 1 && set->swatches[i].steady.controls < 2;
        undated += set->swatches[i].undated;
    }
    if (without)
        fprintf(
            stderr,
            "woad: no blank cells or long dry swatches stand beside %zu of the %zu swatches in all "
            "their photos, so much of the photos' own error stays in; leave some cells blank\n",
            without, set->count);
    if (undated)
        fprintf(stderr,
                "woad: left out are readings whose photo's time is not known, of %zu of the %zu "
                "swatches; 'woad measure --at' tells it\n",
                undated, set->count);
}

/* What the rows come to: beside those of swatches, under those of readings. */
static void print_sentences(const struct drying_set *set, enum table_format format, bool fits,
                            bool rows_above)
{
    fflush(stdout);
    if (fits) {
        drying_note_all(set, stderr);
        return;
    }
    if (rows_above && format == TABLE_TEXT)
        putchar('\n');
    for (size_t i = 0; i < set->count; i++)
        note_swatch(&set->swatches[i], format == TABLE_TEXT ? stdout : stderr);
}

static enum status print_set(const struct drying_set *set, const struct drying_settings *settings,
                             bool fits, struct error *error)
{
    struct table table = {0};
    enum status status = fits ? drying_rows_of_swatches(set, &table, error)
                              : drying_rows_of_readings(set, &table, error);
    bool rows = table_rows(&table) > 0;

    table.more = settings->more;
    note_basis(set);
    if (!status && (rows || settings->format != TABLE_TEXT))
        status = commands_print(&table, settings->format, error);
    if (!status)
        print_sentences(set, settings->format, fits, rows);
    table_release(&table);
    return status;
}

/* --- what is asked -------------------------------------------------------------------------- */

static enum status refuse_nothing(const struct kept_filter *filter, const struct drying_set *set,
                                  struct error *error)
{
    if (set->count)
        return STATUS_OK;
    if (filter->ink)
        return error_set(error, STATUS_INVENTORY,
                         "the inventory holds no swatch of the ink '%.120s'%s%.120s%s%.120s; 'woad "
                         "export' lists what it holds",
                         filter->ink, filter->chart ? " on the chart " : "",
                         filter->chart ? filter->chart : "", filter->batch ? " of the batch " : "",
                         filter->batch ? filter->batch : "");
    return error_set(error, STATUS_INVENTORY,
                     "the inventory holds no inked swatch of the chart '%.120s'%s%.120s; 'woad "
                     "export' lists the charts",
                     filter->chart, filter->batch ? " of the batch " : "",
                     filter->batch ? filter->batch : "");
}

static enum status show_drying(const struct inventory_readings *all,
                               const struct kept_filter *filter,
                               const struct drying_settings *settings, struct error *error)
{
    const struct dried_question question = {filter, .fits_only = false};
    struct drying_set set = {0};
    enum status status = dried_load(all, &question, &set, error);

    if (!status)
        status = refuse_nothing(filter, &set, error);
    if (!status)
        status = print_set(&set, settings, settings->fits || !filter->ink, error);
    if (!status)
        status = write_plots(&set, settings->plots, error);
    dried_release(&set);
    return status;
}

static enum status show_ink(struct inventory *inventory, const char *ink,
                            const struct drying_settings *settings, struct error *error)
{
    const struct kept_filter filter = {
        .ink = ink, .batch = settings->batch, .chart = settings->chart};
    struct inventory_readings all = {0};
    enum status status = ink ? kept_check_ink(inventory, ink, error) : STATUS_OK;

    if (!status)
        status = inventory_read_readings(inventory, NULL, &all, error);
    if (!status)
        status = show_drying(&all, &filter, settings, error);
    inventory_readings_release(&all);
    return status;
}

static enum status check_settings(const struct drying_settings *settings, int inks,
                                  struct error *error)
{
    if (inks == 0 && !settings->chart)
        return error_set(error, STATUS_USAGE,
                         "drying needs an ink, or a chart with --chart NAME; see 'woad drying "
                         "--help'");
    if (inks > 1 && settings->format != TABLE_TEXT)
        return error_set(error, STATUS_USAGE,
                         "drying prints one ink at a time as CSV or JSON, %d were named", inks);
    return STATUS_OK;
}

static enum status show_all(const struct drying_settings *settings, int inks, char **words,
                            struct error *error)
{
    char path[INVENTORY_PATH_SIZE];
    struct inventory *inventory = NULL;
    enum status status = inventory_location(settings->inventory, path, error);

    if (!status)
        status = inventory_open(path, INVENTORY_READ, &inventory, error);
    if (!status && inks == 0)
        status = show_ink(inventory, NULL, settings, error);
    for (int i = 0; !status && i < inks; i++) {
        if (i > 0)
            putchar('\n');
        status = show_ink(inventory, words[i], settings, error);
    }
    inventory_close(inventory);
    return status;
}

static int run_drying(const struct command *command, int count, char **words)
{
    struct drying_settings settings = {0};
    struct error error;
    enum status status = options_parse(command, &count, words, &settings, &error);

    if (!status)
        status = check_settings(&settings, count, &error);
    if (!status)
        status = show_all(&settings, count, words, &error);
    return commands_report(status, &error);
}

const struct command command_drying = {
    .name = "drying",
    .operands = "[INK...]",
    .summary = "show how swatches moved while they dried, and when they had settled",
    .options = drying_options,
    .operands_minimum = 0,
    .operands_maximum = -1,
    .run = run_drying,
};
