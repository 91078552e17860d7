#include "base/memory.h"
#include "compare.h"
#include "notes.h"
#include "questions/compare_photos.h"
#include "questions/kept.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define PLAN_SPREAD 0.5

static const struct option compare_options[] = {
    OPTION_TIMES(struct compare_settings, batch, 2, "batch", "LABEL",
                 "a batch; given twice, the old and the new"),
    OPTION_TIMES(struct compare_settings, chart, 2, "chart", "NAME",
                 "a chart; given twice, the old and the new"),
    OPTION(struct compare_settings, names, "names", "FILE.csv",
           "the ink names of two photos' sheets"),
    OPTION(struct compare_settings, card, "card", "FILE",
           "the card's values for two photos, as 'woad measure' has it"),
    OPTION_BETWEEN(struct compare_settings, tolerance, 0, 100, "tolerance", "DE",
                   "the delta E 2000 that still counts as the same; 1.8 if not told"),
    OPTION_BETWEEN(struct compare_settings, spread, 0, 100, "spread", "SD",
                   "how far swatches of one batch lie apart, per axis in delta E"),
    OPTION_BETWEEN(struct compare_settings, plan, 0, 100, "plan", "DE",
                   "tell how many swatches of each batch show a difference of DE"),
    COMMANDS_MORE_OPTION(struct compare_settings),
    COMMANDS_INVENTORY_OPTION(struct compare_settings),
    COMMANDS_FORMAT_OPTION(struct compare_settings),
    {0}};

/* --- comparing ------------------------------------------------------------------------------ */

static enum status refuse_nothing(const struct compare_sides *sides, const char *ink,
                                  struct error *error)
{
    for (size_t i = 0; i < sides->count; i++)
        if (sides->inks[i].asked)
            return STATUS_OK;
    if (ink)
        return error_set(error, STATUS_INVENTORY,
                         "the ink '%.120s' has no reading in the %s nor in the %s", ink,
                         sides->name[0], sides->name[1]);
    return error_set(error, STATUS_INVENTORY, "no ink is found in %s and %s", sides->name[0],
                     sides->name[1]);
}

static enum status print_verdicts(const struct compare_sides *sides, const struct batches *batches,
                                  const struct compare_settings *settings, struct error *error)
{
    struct table table = {0};
    enum status status = compare_rows(sides, batches, &table, error);

    table.more = settings->more;
    if (!status)
        status = commands_print(&table, settings->format, error);
    if (!status) {
        fflush(stdout);
        compare_note(sides, batches, settings, stderr);
    }
    table_release(&table);
    return status;
}

static enum status judge(const struct compare_sides *sides, const struct compare_settings *settings,
                         struct error *error)
{
    const struct batches_question question = {settings->tolerance, settings->spread};
    struct batches batches = {0};
    enum status status = compare_sides_judge(sides, &question, &batches, error);

    if (!status)
        status = print_verdicts(sides, &batches, settings, error);
    batches_release(&batches);
    return status;
}

static enum status compare_kept(const char *ink, const struct compare_settings *settings,
                                struct error *error)
{
    bool batches = settings->batch.count > 0;
    const char *const *names = batches ? settings->batch.words : settings->chart.words;
    const struct compare_question question = {ink, batches, {names[0], names[1]}};
    char path[INVENTORY_PATH_SIZE];
    struct inventory *inventory = NULL;
    struct inventory_readings all = {0};
    struct compare_sides sides = {0};
    enum status status = inventory_location(settings->inventory, path, error);

    if (!status)
        status = inventory_open(path, INVENTORY_READ, &inventory, error);
    if (!status && ink)
        status = kept_check_ink(inventory, ink, error);
    if (!status)
        status = inventory_read_readings(inventory, NULL, &all, error);
    if (!status)
        status = compare_sides_load(&all, &question, &sides, error);
    if (!status)
        status = refuse_nothing(&sides, ink, error);
    if (!status)
        status = judge(&sides, settings, error);
    compare_sides_release(&sides);
    inventory_readings_release(&all);
    inventory_close(inventory);
    return status;
}

/* An ink alone: say which batches there are to name. */
static enum status refuse_alone(const char *ink, const struct compare_settings *settings,
                                struct error *error)
{
    char path[INVENTORY_PATH_SIZE], list[COMPARE_SIDES_LIST_SIZE] = "";
    struct inventory *inventory = NULL;
    struct inventory_readings all = {0};
    enum status status = inventory_location(settings->inventory, path, error);

    if (!status)
        status = inventory_open(path, INVENTORY_READ, &inventory, error);
    if (!status)
        status = inventory_read_readings(inventory, ink, &all, error);
    if (!status)
        compare_sides_list(&all, true, list);
    inventory_readings_release(&all);
    inventory_close(inventory);
    return error_set(error, STATUS_USAGE,
                     "compare needs --batch twice, --chart twice, two inks or two photos, only "
                     "'%.120s' was named%s%s",
                     ink, list[0] ? "; it has the batches " : "; see 'woad compare --help'", list);
}

static enum status compare_photos(char **paths, const struct compare_settings *settings,
                                  struct error *error)
{
    struct compare_sides sides = {0};
    struct card card = {0};
    enum status status = commands_read_card(settings->card, &card, error);

    if (!status)
        status = compare_photos_measure(paths, &card, settings->names, &sides, error);
    if (!status)
        status = refuse_nothing(&sides, NULL, error);
    if (!status)
        status = judge(&sides, settings, error);
    compare_sides_release(&sides);
    return status;
}

/* --- two inks ------------------------------------------------------------------------------- */

static void note_inks(const struct compare_inks *compared, const struct compare_settings *settings)
{
    for (int side = 0; side < 2; side++)
        notes_of_colour(&compared->inks[side], &compared->facts[side], stderr);
    if (compared->verdict == VERDICT_CANNOT_TELL && !compared->same_photos)
        fprintf(stderr, "to settle it, photograph swatches of both in one photo\n");
    if (settings->tolerance != BATCHES_TOLERANCE)
        fprintf(stderr, "same is up to a delta E 2000 of %g\n", settings->tolerance);
}

static enum status compare_two_inks(char **names, const struct compare_settings *settings,
                                    struct error *error)
{
    const char *const asked[2] = {names[0], names[1]};
    char path[INVENTORY_PATH_SIZE];
    struct inventory *inventory = NULL;
    struct compare_inks compared;
    struct table table = {0};
    enum status status = inventory_location(settings->inventory, path, error);

    if (!status)
        status = inventory_open(path, INVENTORY_READ, &inventory, error);
    if (!status)
        status = compare_inks_load(inventory, asked, settings->tolerance, &compared, error);
    if (!status)
        status = compare_rows_inks(&compared, &table, error);
    table.more = settings->more;
    if (!status)
        status = commands_print(&table, settings->format, error);
    if (!status) {
        fflush(stdout);
        note_inks(&compared, settings);
    }
    table_release(&table);
    inventory_close(inventory);
    return status;
}

/* Whether the inventory has an ink of either name. Where there is no inventory there is no ink. */
static bool names_an_ink(char **names, const struct compare_settings *settings)
{
    char path[INVENTORY_PATH_SIZE];
    struct inventory *inventory = NULL;
    struct inventory_inks inks = {0};
    struct error error;
    enum status status = inventory_location(settings->inventory, path, &error);
    bool any = false;

    if (!status)
        status = inventory_open(path, INVENTORY_READ, &inventory, &error);
    if (!status)
        status = inventory_read_names(inventory, &inks, &error);
    for (size_t i = 0; !status && i < inks.count; i++)
        any = any || strcmp(inks.items[i].name, names[0]) == 0 ||
              strcmp(inks.items[i].name, names[1]) == 0;
    inventory_inks_release(&inks);
    inventory_close(inventory);
    return any;
}

/* A name is an ink's before it is a file's; what has no ending is no photo. */
static enum status compare_two(char **words, const struct compare_settings *settings,
                               struct error *error)
{
    bool photos = !names_an_ink(words, settings) &&
                  (strpbrk(words[0], "./") != NULL || strpbrk(words[1], "./") != NULL);

    return photos ? compare_photos(words, settings, error)
                  : compare_two_inks(words, settings, error);
}

/* --- planning ------------------------------------------------------------------------------- */

static void note_plan(const struct compare_settings *settings, const struct batches_plan *plan)
{
    fflush(stdout);
    fprintf(stderr,
            "make %d swatches of each batch and photograph all in one photo: in %.0f of 100 such "
            "comparisons a difference of %g shows\n",
            plan->swatches_estimated, 100 * plan->power_estimated, settings->plan);
    if (settings->plan <= settings->tolerance)
        fprintf(stderr,
                "to show is not to be 'different': within the tolerance, here %g, batches that "
                "differ are still the same\n",
                settings->tolerance);
}

static enum status print_plan(struct compare_settings *settings, struct error *error)
{
    struct table table = {0};
    struct batches_plan plan;
    enum status status;

    if (!(settings->spread > 0)) {
        settings->spread = PLAN_SPREAD;
        fprintf(stderr, "woad: a spread of %.1f per axis is assumed; --spread tells it\n",
                PLAN_SPREAD);
    }
    if (!batches_plan(settings->plan, settings->spread, &plan))
        return error_set(error, STATUS_USAGE,
                         "no number of swatches up to %d shows a difference of %g where they "
                         "spread by %g",
                         BATCHES_PLAN_MAX, settings->plan, settings->spread);
    compare_rows_plan(&(const struct compare_plan){settings->plan, settings->spread,
                                                   "estimated from them", plan.swatches_estimated,
                                                   plan.power_estimated},
                      &table);
    compare_rows_plan(&(const struct compare_plan){settings->plan, settings->spread,
                                                   "told (--spread)", plan.swatches, plan.power},
                      &table);
    status = table_check(&table, error);
    if (!status)
        status = commands_print(&table, settings->format, error);
    if (!status)
        note_plan(settings, &plan);
    table_release(&table);
    return status;
}

/* --- what is asked -------------------------------------------------------------------------- */

static enum status refuse_half(const char *const given[2], const char *option, struct error *error)
{
    if (!given[0])
        return STATUS_OK;
    if (!given[1])
        return error_set(error, STATUS_USAGE,
                         "compare needs --%s twice, the old and the new; only '%.120s' was given",
                         option, given[0]);
    if (strcmp(given[0], given[1]) == 0)
        return error_set(error, STATUS_USAGE,
                         "compare needs two different ones, '%.120s' was given twice with --%s",
                         given[0], option);
    return STATUS_OK;
}

static enum status check_plan(const struct compare_settings *settings, int operands,
                              struct error *error)
{
    if (!(settings->plan > 0))
        return error_set(error, STATUS_USAGE, "--plan takes a difference above 0");
    if (operands || settings->batch.count || settings->chart.count)
        return error_set(error, STATUS_USAGE,
                         "--plan compares nothing: leave out inks, photos, --batch and --chart");
    return STATUS_OK;
}

static enum status check_settings(const struct compare_settings *settings, int operands,
                                  struct error *error)
{
    bool kept = settings->batch.count || settings->chart.count;
    enum status status = refuse_half(settings->batch.words, "batch", error);

    if (!status)
        status = refuse_half(settings->chart.words, "chart", error);
    if (status)
        return status;
    if (settings->batch.count && settings->chart.count)
        return error_set(error, STATUS_USAGE,
                         "compare takes two batches or two charts, not both at once");
    if (kept && operands > 1)
        return error_set(error, STATUS_USAGE,
                         "compare takes one ink, or all; %d were named: photos go without --batch "
                         "and --chart, a name of several words into quotes",
                         operands);
    if (!kept && operands == 0)
        return error_set(error, STATUS_USAGE,
                         "compare needs --batch twice, --chart twice, two inks or two photos; see "
                         "'woad compare --help'");
    return STATUS_OK;
}

static enum status run_checked(struct compare_settings *settings, int count, char **words,
                               struct error *error)
{
    if (!isnan(settings->plan))
        return print_plan(settings, error);
    if (settings->batch.count || settings->chart.count)
        return compare_kept(count ? words[0] : NULL, settings, error);
    return count == 1 ? refuse_alone(words[0], settings, error)
                      : compare_two(words, settings, error);
}

static int run_compare(const struct command *command, int count, char **words)
{
    struct compare_settings settings = {.tolerance = BATCHES_TOLERANCE, .plan = NAN};
    struct error error;
    enum status status = options_parse(command, &count, words, &settings, &error);

    if (!status)
        status = isnan(settings.plan) ? check_settings(&settings, count, &error)
                                      : check_plan(&settings, count, &error);
    if (!status)
        status = run_checked(&settings, count, words, &error);
    return commands_report(status, &error);
}

const struct command command_compare = {
    .name = "compare",
    .operands = "[INK] | INK INK | PHOTO PHOTO",
    .summary = "tell whether two batches of an ink, or two inks, are the same",
    .options = compare_options,
    .operands_minimum = 0,
    .operands_maximum = 2,
    .run = run_compare,
};
