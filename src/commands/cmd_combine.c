#include "analysis/description.h"
#include "analysis/settled.h"
#include "base/memory.h"
#include "questions/combine_job.h"
#include "blend_strips.h"
#include "commands.h"
#include "files/whole_file.h"
#include "output/combine_rows.h"
#include "notes.h"

#include <stdlib.h>
#include <string.h>

#define COUNT_USUAL 5
#define COUNT_MAX 40
#define COLOURS_USUAL 3
#define TITLE_SIZE (RANGE_NAME_SIZE + 64)

struct combine_settings {
    int colours;
    const char *mood;
    int count;
    bool like_log;
    const char *own;
    bool more;
    const char *picture;
    const char *inventory;
    enum table_format format;
};

static const struct option combine_options[] = {
    OPTION_BETWEEN(struct combine_settings, colours, 3, COMBINE_COLOURS_MOST, "colours", "3|4",
                   "how many inks a combination has, this one among them; 3 if not told"),
    OPTION(struct combine_settings, mood, "mood", "tonal|contrast",
           "one hue, or one ink that stands against it; tonal if not told"),
    OPTION_BETWEEN(struct combine_settings, count, 1, COUNT_MAX, "count", "N",
                   "how many to propose; 5 if not told"),
    OPTION_SWITCH(struct combine_settings, like_log, "like-log",
                  "also those that are much like one of 'woad combinations'"),
    OPTION(struct combine_settings, own, "own", "FILE",
           "the inks owned, a name a line: of these alone"),
    OPTION(struct combine_settings, picture, "picture", "FILE.png",
           "draw the proposals as they may look when blended"),
    COMMANDS_MORE_OPTION(struct combine_settings),
    COMMANDS_INVENTORY_OPTION(struct combine_settings),
    COMMANDS_FORMAT_OPTION(struct combine_settings),
    {0}};

static enum status read_mood(const char *word, enum combine_mood *mood, struct error *error)
{
    *mood = word && strcmp(word, "contrast") == 0 ? COMBINE_CONTRAST : COMBINE_TONAL;
    if (!word || *mood == COMBINE_CONTRAST || strcmp(word, "tonal") == 0)
        return STATUS_OK;
    return error_set(error, STATUS_USAGE, "--mood: '%.40s' is neither 'tonal' nor 'contrast'",
                     word);
}

/* --- what came of it, in sentences ---------------------------------------------------------- */

static void tell_focus(const struct combine_job *job, const struct combine_wishes *wishes,
                       FILE *out)
{
    const struct range_ink *focus = &job->task.inks[job->task.focus];

    if (wishes->ink)
        fprintf(out, "Around '%s' (colour %s), from ", focus->name, settled_words(focus->basis));
    else
        fputs("Each begun with another ink, those that are in no combination yet first, from ",
              out);
    fprintf(out, "%zu ink%s with a colour: ", job->task.count, job->task.count == 1 ? "" : "s");
    if (!job->answer.count)
        fputs("no proposal.\n", out);
    else
        fprintf(out, "%zu proposal%s%s.\n", job->answer.count, job->answer.count == 1 ? "" : "s",
                job->answer.count < job->task.wanted ? "; no more stand the test" : "");
    if (job->answer.strict < job->answer.count)
        fprintf(out, "Of them %zu %s inks nearer one another, or hues a little farther apart.\n",
                job->answer.count - job->answer.strict,
                job->answer.count - job->answer.strict == 1 ? "has" : "have");
    if (job->task.unlike_log && job->answer.like_logged)
        fprintf(out,
                "Left out as much like one you made (number %zu of 'woad combinations', for one): "
                "%zu; --like-log lets them in.\n",
                job->answer.first_logged + 1, job->answer.like_logged);
    if (job->answer.left_out)
        fprintf(out, "Of so large a range %zu inks were left out that lie near others.\n",
                job->answer.left_out);
}

/* Where there are fewer than wanted, a person can tell what to change by what ruled most out. */
static void tell_refusals(const struct combine_settings *settings, const struct combine_job *job,
                          FILE *out)
{
    const struct combine_refusals *refusals = &job->answer.refusals;

    if (job->answer.count == job->task.wanted || (job->answer.count && !settings->more))
        return;
    if (!refusals->looked_at) {
        fprintf(out,
                "No %zu inks with '%s' among them differ by delta E %.0f or more from one "
                "another; %s.\n",
                job->task.colours, job->task.inks[job->task.focus].name, COMBINE_IDENTICAL,
                job->task.colours > COLOURS_USUAL ? "fewer colours, or more inks, give more"
                                                  : "more inks give more");
        return;
    }
    fprintf(
        out,
        "Of %zu sets of %zu inks that are not nearly the same, %zu are less harmonious than "
        "most pairs, %zu, or their beginnings, do not keep the mood, %zu would blend muddy, and "
        "%zu are much like those proposed or logged, or of inks proposed already.\n",
        refusals->looked_at, job->task.colours, refusals->harsh, refusals->mood, refusals->muddy,
        refusals->like_others);
}

/* --- printing ------------------------------------------------------------------------------- */

static void explain_proposals(bool more)
{
    puts("\nLay them in this order, the darkest at one edge and last of all: it covers what it "
         "meets.\n"
         "Edge, quarter and half say how much of the pad each takes (common practice, no source).");
    if (!more)
        return;
    puts(
        "\nScore, 0 to 1: four tenths for hues alike, three for a wide and even span from dark to\n"
        "light, three for clean blends. Hues alike: 1 the same, 0 opposite. Clean: how much of "
        "the\n"
        "inks' colour their blend keeps where it is dullest. From the log: how unlike what you\n"
        "made, delta E. After experiments on pairs (Ou and Luo 2006; Schloss and Palmer 2011: hue\n"
        "similarity explains 67 % of harmony, 54 % of preference), means over many people.");
}

static enum status print_joins(const struct combine_settings *settings,
                               const struct combine_job *job, struct error *error)
{
    struct table table;
    enum status status = combine_rows_joins(&job->task, &job->answer, &table, error);

    if (!status) {
        explain_proposals(settings->more);
        puts("\nForecast half way between neighbours (\xC2\xB1: delta E 2000, holds 95 times in "
             "100):");
        status = commands_print(&table, TABLE_TEXT, error);
    }
    table_release(&table);
    return status;
}

static enum status print_answer(const struct combine_settings *settings,
                                const struct combine_job *job, const struct combine_wishes *wishes,
                                struct error *error)
{
    enum table_format format = settings->format;
    FILE *out = format == TABLE_TEXT ? stdout : stderr;
    struct table table;
    enum status status = combine_rows_proposals(&job->task, &job->answer, &table, error);

    table.more = settings->more;
    if (!status) {
        tell_focus(job, wishes, out);
        if (wishes->ink)
            tell_refusals(settings, job, out);
        if (out == stdout && job->answer.count)
            putchar('\n');
        if (format != TABLE_TEXT || job->answer.count)
            status = commands_print(&table, format, error);
    }
    table_release(&table);
    if (!status && format == TABLE_TEXT && job->answer.count)
        status = print_joins(settings, job, error);
    return status;
}

/* --- the picture ---------------------------------------------------------------------------- */

/* "2. Tonal, from dark red to light orange" */
static void write_title(const struct combine_job *job, const struct combine_proposal *proposal,
                        size_t number, char title[TITLE_SIZE])
{
    char from[DESCRIPTION_SIZE], to[DESCRIPTION_SIZE];

    description_words(job->task.inks[proposal->inks[0]].lab, from);
    description_words(job->task.inks[proposal->inks[proposal->count - 1]].lab, to);
    snprintf(title, TITLE_SIZE, "%zu. %s, from %s to %s", number,
             job->task.mood == COMBINE_TONAL ? "Tonal" : "With a contrast", from, to);
}

static enum status draw(const struct combine_settings *settings, const struct combine_job *job,
                        struct error *error)
{
    size_t count = job->answer.count;
    struct forecast_strip *strips = memory_array(count + 1, sizeof *strips, "a picture", error);
    char(*titles)[TITLE_SIZE] = memory_array(count + 1, sizeof *titles, "a picture", error);
    enum status status = strips && titles ? STATUS_OK : error->status;

    for (size_t i = 0; !status && i < count; i++) {
        const struct combine_proposal *proposal = &job->answer.proposals[i];

        status =
            blend_strips_forecast(&job->task, proposal->inks, proposal->count, &strips[i], error);
        write_title(job, proposal, i + 1, titles[i]);
        strips[i].title = titles[i];
    }
    if (!status)
        status = forecast_picture_write(settings->picture, strips, count, error);
    if (!status)
        fprintf(stderr, "woad: the proposals are drawn in %s\n", settings->picture);
    free(titles);
    free(strips);
    return status;
}

/* --- the command ---------------------------------------------------------------------------- */

static enum status prepare(const struct combine_settings *settings, struct combine_job *job,
                           struct combine_wishes *wishes, struct error *error)
{
    const struct whole_file_plan plan = {settings->picture, &whole_file_png};
    enum status status = read_mood(settings->mood, &wishes->mood, error);

    wishes->colours = (size_t)settings->colours;
    wishes->count = (size_t)settings->count;
    wishes->like_log = settings->like_log;
    if (!status)
        status = whole_file_check(&plan, 1, error);
    return status ? status : combine_job_load(settings->inventory, settings->own, job, error);
}

static enum status answer(const struct combine_settings *settings, struct combine_job *job,
                          const struct combine_wishes *wishes, struct error *error)
{
    size_t ink;
    enum status status = wishes->ink ? combine_job_find(job, wishes->ink, &ink, error) : STATUS_OK;

    if (status)
        return status;
    notes_of_range(&job->measured, stderr);
    notes_of_blends(&job->log, stderr);
    status = combine_job_propose(job, wishes, error);
    if (!status && settings->picture && job->answer.count)
        status = draw(settings, job, error);
    return status ? status : print_answer(settings, job, wishes, error);
}

static int run_combine(const struct command *command, int count, char **words)
{
    struct combine_settings settings = {.colours = COLOURS_USUAL, .count = COUNT_USUAL};
    struct combine_job job = {.task = {.count = 0}};
    struct combine_wishes wishes = {.ink = NULL};
    struct error error;
    bool proposed;
    enum status status = options_parse(command, &count, words, &settings, &error);

    wishes.ink = count ? words[0] : NULL;
    if (!status)
        status = prepare(&settings, &job, &wishes, &error);
    if (!status)
        status = answer(&settings, &job, &wishes, &error);
    proposed = job.answer.count > 0;
    combine_job_release(&job);
    if (!status && !proposed)
        return STATUS_NO_ANSWER;
    return commands_report(status, &error);
}

const struct command command_combine = {
    .name = "combine",
    .operands = "[INK]",
    .summary = "propose combinations, around an ink if told, with a forecast of how they blend",
    .options = combine_options,
    .operands_maximum = 1,
    .run = run_combine,
};
