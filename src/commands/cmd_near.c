#include "analysis/description.h"
#include "analysis/settled.h"
#include "commands.h"
#include "files/photo.h"
#include "notes.h"
#include "questions/standins.h"
#include "measurement/measurement.h"
#include "output/range_rows.h"

#include <string.h>

#define COUNT_OF_ONE 8   /* stand-ins listed for one colour */
#define COUNT_OF_CELLS 3 /* and for each cell of a photo */
#define COUNT_MAX 1000

struct near_settings {
    struct option_lab lab;
    const char *photo;
    const char *card;
    bool pairs;
    double within;
    int count;
    bool more;
    const char *inventory;
    enum table_format format;
};

static const struct option near_options[] = {
    OPTION(struct near_settings, lab, "lab", "L,A,B",
           "ask for a colour (CIELAB D50) instead of an ink"),
    OPTION(struct near_settings, photo, "photo", "FILE",
           "ask for each swatch of a photo, which is not stored"),
    OPTION(struct near_settings, card, "card", "FILE", "the card in that photo, as for measure"),
    OPTION_SWITCH(struct near_settings, pairs, "pairs", "list every close pair of the range"),
    OPTION_BETWEEN(struct near_settings, within, 0, 100, "within", "DE",
                   "up to which delta E 2000 inks are close; 3 if not told"),
    OPTION_BETWEEN(struct near_settings, count, 1, COUNT_MAX, "count", "N",
                   "how many to list; 8 if not told, 3 for each swatch of a photo"),
    COMMANDS_MORE_OPTION(struct near_settings),
    COMMANDS_INVENTORY_OPTION(struct near_settings),
    COMMANDS_FORMAT_OPTION(struct near_settings),
    {0}};

/* What the questions share. */
struct asking {
    const struct near_settings *settings;
    struct measured_range measured;
    struct standins answer;
    struct table table;
};

static enum near_rows rows_kind(const struct near_settings *settings)
{
    if (settings->pairs)
        return NEAR_OF_PAIRS;
    return settings->photo ? NEAR_OF_CELLS : NEAR_OF_ONE;
}

/* A text table of nothing is left out; the remarks have said it. */
static enum status print_answer(struct asking *asking, struct error *error)
{
    const struct near_settings *settings = asking->settings;
    enum status status = STATUS_OK;

    range_rows_near_start(&asking->table, rows_kind(settings));
    asking->table.more = settings->more;
    for (size_t i = 0; !status && i < asking->answer.count; i++) {
        const struct standin *standin = &asking->answer.items[i];

        status = range_rows_near(standin->asked, standin->ink, &standin->delta_e, settings->within,
                                 &asking->table, error);
    }
    if (status || (settings->format == TABLE_TEXT && !asking->answer.count))
        return status;
    return commands_print(&asking->table, settings->format, error);
}

/* --- one colour ----------------------------------------------------------------------------- */

/* "Beetroot 12: deep purplish red (L* 28.1, a* 40.2, b* 1.7); undertone purplish red; ..." */
static void describe_asked(const struct asking *asking, const struct range_ink *asked)
{
    const struct range_ink *thin = measured_range_thin(&asking->measured, asked);
    const char *undertone = description_undertone(asked->lab);
    char words[DESCRIPTION_SIZE];
    double degrees;

    description_words(asked->lab, words);
    fprintf(stderr, "%s: %s (L* %.1f, a* %.1f, b* %.1f); undertone %s", asked->name, words,
            asked->lab.L, asked->lab.a, asked->lab.b, undertone ? undertone : "none, it is grey");
    if (thin) {
        const char *turn = description_as_it_thins(asked, thin, &degrees);

        fprintf(stderr, "; thinned: %s (hue %+.0f degrees)", turn, degrees);
    }
    if (asked->basis == COLOUR_AGE_UNKNOWN)
        fputs("; taken as dry", stderr);
    if (asked->basis == COLOUR_DRY_END)
        fputs("; as its drying fit says it dries", stderr);
    if (asked->batch[0])
        fprintf(stderr, "; batch '%s'", asked->batch);
    fputc('\n', stderr);
}

static void tell_within(const struct asking *asking, size_t count)
{
    size_t within = asking->answer.within;

    if (within > count)
        fprintf(stderr, "%zu more lie within %g; --count lists them\n", within - count,
                asking->settings->within);
    else if (!within)
        fprintf(stderr, "None lies within %g.\n", asking->settings->within);
}

static enum status ask_one(struct asking *asking, const struct range_ink *asked,
                           struct error *error)
{
    const size_t count = asking->settings->count ? (size_t)asking->settings->count : COUNT_OF_ONE;
    const struct near_wish wish = {asking->settings->within, count};
    enum status status = standins_of(&asking->measured, asked, &wish, &asking->answer, error);

    if (status)
        return status;
    describe_asked(asking, asked);
    if (!asking->answer.count)
        fputs("There is no other ink with a colour to stand in.\n", stderr);
    status = print_answer(asking, error);
    if (!status && asking->answer.count)
        tell_within(asking, count);
    return status;
}

static enum status ask_ink(struct asking *asking, const char *name, struct error *error)
{
    const struct range_ink *asked = NULL;
    enum status status = measured_range_find(&asking->measured, name, &asked, error);

    return status ? status : ask_one(asking, asked, error);
}

static enum status ask_lab(struct asking *asking, struct error *error)
{
    const struct range_ink asked = {
        .name = "the colour asked for", .basis = COLOUR_SETTLED, .lab = asking->settings->lab.lab};

    return ask_one(asking, &asked, error);
}

/* --- a photo -------------------------------------------------------------------------------- */

static enum status ask_cells(struct asking *asking, const struct measured_chart *chart,
                             struct error *error)
{
    const size_t count = asking->settings->count ? (size_t)asking->settings->count : COUNT_OF_CELLS;
    const struct near_wish wish = {asking->settings->within, count};
    enum status status = standins_of_cells(&asking->measured, chart, &wish, &asking->answer, error);

    fprintf(stderr, "woad: %s: %zu of %d cells hold ink; the photo is not stored\n",
            asking->settings->photo, asking->answer.cell_count,
            chart->pose.rows * chart->pose.columns);
    return status ? status : print_answer(asking, error);
}

static enum status ask_photo(struct asking *asking, struct error *error)
{
    struct card card = {0};
    struct photo photo = {0};
    struct measurement measurement = {0};
    const struct measurement_hints hints = {.card = &card};
    enum status status = commands_read_card(asking->settings->card, &card, error);

    if (!status)
        status = photo_read(asking->settings->photo, PHOTO_WORKING_PIXELS_MAX, &photo, error);
    if (!status)
        status = measurement_from_photo(&photo, &hints, &measurement, error);
    if (!status)
        status = ask_cells(asking, &measurement.charts[0], error);
    measurement_release(&measurement);
    photo_release(&photo);
    return status;
}

/* --- all pairs ------------------------------------------------------------------------------ */

static enum status ask_pairs(struct asking *asking, struct error *error)
{
    const double within = asking->settings->within;
    enum status status = standins_in_range(&asking->measured, within, &asking->answer, error);

    if (!status && !asking->answer.count)
        fprintf(stderr, "No two of the %zu inks with a colour lie within %g.\n",
                asking->measured.count, within);
    return status ? status : print_answer(asking, error);
}

/* --- the command ---------------------------------------------------------------------------- */

static enum status check_question(const struct near_settings *settings, int inks,
                                  struct error *error)
{
    int questions = inks + settings->lab.given + (settings->photo != NULL) + settings->pairs;

    if (questions != 1)
        return error_set(error, STATUS_USAGE,
                         "near needs one thing to look for: an ink, --lab, --photo or --pairs; %d "
                         "were given",
                         questions);
    if (settings->card && !settings->photo)
        return error_set(error, STATUS_USAGE, "--card is of use only with --photo");
    if (settings->count && settings->pairs)
        return error_set(error, STATUS_USAGE,
                         "--pairs lists every pair --within the tolerance; leave out --count");
    return STATUS_OK;
}

static enum status ask(struct asking *asking, int count, char **words, struct error *error)
{
    const struct near_settings *settings = asking->settings;
    enum status status = measured_range_load(settings->inventory, &asking->measured, error);

    if (status)
        return status;
    notes_of_range(&asking->measured, stderr);
    if (count)
        return ask_ink(asking, words[0], error);
    if (settings->lab.given)
        return ask_lab(asking, error);
    return settings->photo ? ask_photo(asking, error) : ask_pairs(asking, error);
}

static int run_near(const struct command *command, int count, char **words)
{
    struct near_settings settings = {.within = NEAR_CLOSE};
    struct asking asking = {.settings = &settings};
    struct error error;
    enum status status = options_parse(command, &count, words, &settings, &error);

    if (!status)
        status = check_question(&settings, count, &error);
    if (!status)
        status = ask(&asking, count, words, &error);
    table_release(&asking.table);
    standins_release(&asking.answer);
    measured_range_release(&asking.measured);
    return commands_report(status, &error);
}

const struct command command_near = {
    .name = "near",
    .operands = "[INK]",
    .summary = "list the inks that could stand in for an ink or a colour",
    .options = near_options,
    .operands_maximum = 1,
    .run = run_near,
};
