#include "analysis/near.h"
#include "base/memory.h"
#include "commands.h"
#include "questions/cover_task.h"
#include "questions/families.h"
#include "questions/measured_range.h"
#include "output/range_rows.h"
#include "output/tiles.h"
#include "notes.h"

#include <math.h>
#include <stdlib.h>

#define SECONDS_USUAL 20
#define SECONDS_MAX 86400
#define NAMED_MAX 6

struct cover_settings {
    double within;
    int count;
    bool worst;
    const char *picture;
    const char *own;
    const char *cost;
    struct option_words must;
    struct option_words never;
    int seconds;
    bool more;
    const char *inventory;
    enum table_format format;
};

static const struct option cover_options[] = {
    OPTION_BETWEEN(struct cover_settings, within, 0, 100, "within", "DE",
                   "how far off a stand-in may be; 3 if not told, 8 with --count"),
    OPTION_BETWEEN(struct cover_settings, count, 1, COVER_INKS_MAX, "count", "N",
                   "at most N inks, those that serve most of the range"),
    OPTION_SWITCH(struct cover_settings, worst, "worst",
                  "with --count: those with the smallest worst gap instead"),
    OPTION(struct cover_settings, picture, "picture", "FILE.png",
           "draw what to buy with what it stands in for, as tiles"),
    OPTION(struct cover_settings, own, "own", "FILE", "the inks owned already, a name a line"),
    OPTION(struct cover_settings, cost, "cost", "FILE",
           "prices, 'ink,price' a line: the cheapest instead of the fewest"),
    OPTION_TIMES(struct cover_settings, must, OPTION_WORDS_MAX, "must", "INK",
                 "buy this one; may be given again and again"),
    OPTION_TIMES(struct cover_settings, never, OPTION_WORDS_MAX, "never", "INK",
                 "do not buy this one; may be given again and again"),
    OPTION_BETWEEN(struct cover_settings, seconds, 1, SECONDS_MAX, "seconds", "N",
                   "how long to look for a proof; 20 if not told"),
    COMMANDS_MORE_OPTION(struct cover_settings),
    COMMANDS_INVENTORY_OPTION(struct cover_settings),
    COMMANDS_FORMAT_OPTION(struct cover_settings),
    {0}};

/* --- what came of it, in sentences ---------------------------------------------------------- */

static const char *plural(size_t count)
{
    return count == 1 ? "" : "s";
}

/* What was asked. */
enum question { COVER_ALL, COVER_MOST, COVER_WORST };

static void tell_choice(const struct cover_task *task, const struct cover *cover,
                        enum question question, FILE *out)
{
    fprintf(out, "Range: %zu ink%s with a colour, %zu owned. Buy %zu", cover->count,
            plural(cover->count), cover->owned, cover->bought);
    if (task->price)
        fprintf(out, " for %.2f", cover->cost);
    if (question == COVER_MOST)
        fprintf(out, ": %zu of the %zu inks %s a stand-in within delta E %g%s.\n",
                cover->count - cover->unserved, cover->count,
                cover->count - cover->unserved == 1 ? "has" : "have", cover->within,
                cover->unserved ? ", the others have none" : "");
    else
        fprintf(out, ": every ink %s a stand-in within delta E %.2f.\n",
                cover->unserved ? "that can be served has" : "has", cover->within);
}

static void tell_proof(const struct cover_task *task, const struct cover *cover,
                       enum question question, FILE *out)
{
    if (question == COVER_MOST && cover->proven)
        fputs("Proven: no choice of as many, spread over the families, serves more.\n", out);
    else if (question == COVER_MOST)
        fprintf(out, "Not proven in the time: another choice may serve up to %zu.\n",
                cover->count - cover->unserved_bound);
    else if (question == COVER_WORST && cover->proven)
        fputs("Proven: as many inks leave no smaller worst gap.\n", out);
    else if (question == COVER_WORST)
        fprintf(out, "Not proven in the time: the smallest worst gap may be down to %.2f.\n",
                cover->within_bound);
    else if (cover->proven)
        fprintf(out, "Proven: no choice %s.\n", task->price ? "is cheaper" : "of fewer will do");
    else if (task->price)
        fprintf(out, "Not proven in the time: the cheapest may cost down to %.2f.\n",
                cover->cost_bound);
    else
        fprintf(out, "Not proven in the time: the fewest may be down to %.0f.\n",
                cover->cost_bound);
}

/* The ink that is farthest from its stand-in; NULL: every ink is chosen. */
static const struct cover_ink *worst_served(const struct cover *cover)
{
    const struct cover_ink *worst = NULL;

    for (size_t i = 0; i < cover->count; i++)
        if (!cover->inks[i].chosen && (!worst || cover->inks[i].gap.measured > worst->gap.measured))
            worst = &cover->inks[i];
    return worst;
}

static void tell_worst(const struct cover_task *task, const struct cover *cover, FILE *out)
{
    const struct cover_ink *worst = worst_served(cover);
    size_t left = 0, apart = 0;

    for (size_t i = 0; i < cover->count; i++) {
        left += !cover->inks[i].chosen;
        apart += cover->inks[i].gap.measured > cover->close;
    }
    if (!worst)
        return;
    fprintf(out, "The worst: '%s' in place of '%s', delta E %.2f (95 %%: %.2f to %.2f).\n",
            task->inks[worst->stand_in].name, task->inks[worst - cover->inks].name,
            worst->gap.measured, worst->gap.low, worst->gap.high);
    if (apart)
        fprintf(out, "Of the other %zu ink%s, %zu %s no close stand-in (delta E %g or less).\n",
                left, plural(left), apart, apart == 1 ? "has" : "have", cover->close);
}

static void tell_doubt(const struct cover_task *task, const struct cover *cover, FILE *out)
{
    int decimals = task->price ? 2 : 0;

    if (cover->open)
        fprintf(
            out,
            "%zu stand-in%s within it or not as far as the readings tell (--more tells which).\n",
            cover->open, cover->open == 1 ? " may be" : "s may be");
    if (cover->cost_if_apart <= cover->cost && cover->cost_if_close >= cover->cost)
        return;
    fprintf(out,
            "Were every pair in doubt within it, %.*f would do; were none, %.*f would be "
            "needed",
            decimals, cover->cost_if_close, decimals, cover->cost_if_apart);
    if (cover->unserved_if_apart > cover->unserved)
        fprintf(out, ", and %zu ink%s would go without", cover->unserved_if_apart,
                plural(cover->unserved_if_apart));
    fputs(".\n", out);
}

/* Of those without a stand-in that were not named yet, the one farthest from any ink chosen. */
static size_t farthest(const struct cover *cover, const bool *named)
{
    size_t found = cover->count;

    for (size_t i = 0; i < cover->count; i++)
        if (!cover->inks[i].served && !named[i] &&
            (found == cover->count ||
             cover->inks[i].gap.measured > cover->inks[found].gap.measured))
            found = i;
    return found;
}

static void name_farthest(const struct cover_task *task, const struct cover *cover, FILE *out)
{
    struct error ignored;
    bool *named = memory_array(cover->count, sizeof *named, "the inks without", &ignored);

    fprintf(out, "%s: ", cover->unserved > NAMED_MAX ? ", the farthest first" : "");
    for (size_t i = 0; named && i < cover->unserved && i < NAMED_MAX; i++) {
        size_t ink = farthest(cover, named);

        named[ink] = true;
        fprintf(out, "%s%s", i ? ", " : "", task->inks[ink].name);
    }
    fputs(cover->unserved > NAMED_MAX ? " and so on (--more names all)\n" : "\n", out);
    free(named);
}

static void name_all(const struct cover_task *task, const struct cover *cover, FILE *out)
{
    const char *between = ": ";

    for (size_t i = 0; i < cover->count; i++)
        if (!cover->inks[i].served) {
            fprintf(out, "%s%s", between, task->inks[i].name);
            between = ", ";
        }
    fputc('\n', out);
}

static void tell_unserved(const struct cover_task *task, const struct cover *cover,
                          enum question question, bool more, FILE *out)
{
    if (!cover->unserved)
        return;
    fprintf(out, "%s: %zu ink%s",
            question == COVER_MOST ? "Not served" : "Without a stand-in among those allowed",
            cover->unserved, plural(cover->unserved));
    if (more)
        name_all(task, cover, out);
    else
        name_farthest(task, cover, out);
}

static void tell_unpriced(const struct cover_task *task, FILE *out)
{
    size_t unpriced = 0;

    for (size_t i = 0; task->price && i < task->count; i++)
        unpriced += !isfinite(task->price[i]) && task->roles[i] == COVER_FREE;
    if (unpriced)
        fprintf(out, "%zu ink%s no price and %s taken as not for sale.\n", unpriced,
                unpriced == 1 ? " has" : "s have", unpriced == 1 ? "is" : "are");
}

static void tell(const struct cover_task *task, const struct cover *cover, enum question question,
                 bool more, FILE *out)
{
    tell_choice(task, cover, question, out);
    tell_proof(task, cover, question, out);
    if (question == COVER_WORST)
        tell_worst(task, cover, out);
    if (question == COVER_ALL)
        tell_doubt(task, cover, out);
    tell_unpriced(task, out);
    tell_unserved(task, cover, question, more, out);
}

/* --- the picture ---------------------------------------------------------------------------- */

/* One chosen ink with those it stands in for; COVER_NOBODY: those that are not served. */
static size_t add_tiles(const struct cover_task *task, const struct cover *cover, size_t leader,
                        const char *heading, struct tile *tiles)
{
    size_t count = 0;

    if (leader != COVER_NOBODY)
        tiles[count++] =
            (struct tile){heading, task->inks[leader].name, task->inks[leader].lab, true};
    for (size_t i = 0; i < cover->count; i++) {
        size_t stand_in = cover->inks[i].served ? cover->inks[i].stand_in : COVER_NOBODY;

        if (i != leader && stand_in == leader) {
            tiles[count] =
                (struct tile){count ? NULL : heading, task->inks[i].name, task->inks[i].lab, false};
            count++;
        }
    }
    return count;
}

/* Those to buy, in the order to buy them in, then those owned, then what is not served. */
static enum status draw(const char *path, const struct cover_task *task, const struct cover *cover,
                        struct error *error)
{
    struct tile *tiles = memory_array(cover->count, sizeof *tiles, "the tiles", error);
    enum status status = tiles ? STATUS_OK : error->status;
    size_t count = 0;

    for (size_t step = 1; !status && step <= cover->bought; step++)
        for (size_t i = 0; i < cover->count; i++)
            if (cover->inks[i].step == step)
                count += add_tiles(task, cover, i,
                                   step == 1 ? "To buy, and what each stands in for" : "",
                                   tiles + count);
    for (size_t i = 0, owned = 0; !status && i < cover->count; i++)
        if (cover->inks[i].chosen && !cover->inks[i].step)
            count += add_tiles(task, cover, i, owned++ ? "" : "Owned", tiles + count);
    if (!status)
        count += add_tiles(task, cover, COVER_NOBODY, "Not served", tiles + count);
    if (!status)
        status = tiles_write(path, tiles, count, error);
    if (!status)
        fprintf(stderr, "woad: the inks are drawn in %s\n", path);
    free(tiles);
    return status;
}

/* --- printing ------------------------------------------------------------------------------- */

static enum status print_part(struct table *table, const char *title, struct error *error)
{
    enum status status = STATUS_OK;

    if (table_rows(table)) {
        printf("\n%s\n", title);
        status = commands_print(table, TABLE_TEXT, error);
    }
    return status;
}

static enum status print_for_people(const struct cover_task *task, const struct cover *cover,
                                    bool more, struct error *error)
{
    struct table purchases = {0}, stand_ins = {0};
    enum status status = range_rows_purchases(task, cover, &purchases, error);

    if (!status)
        status = range_rows_stand_ins(task, cover, false, &stand_ins, error);
    stand_ins.more = more;
    if (!status)
        status = print_part(&purchases, "To buy, the most useful first:", error);
    if (!status)
        status = print_part(&stand_ins, "What stands in for the others:", error);
    table_release(&purchases);
    table_release(&stand_ins);
    return status;
}

static enum status print_for_programs(const struct cover_task *task, const struct cover *cover,
                                      enum table_format format, struct error *error)
{
    struct table table = {0};
    enum status status = range_rows_stand_ins(task, cover, true, &table, error);

    if (!status)
        status = commands_print(&table, format, error);
    table_release(&table);
    return status;
}

/* --- the command ---------------------------------------------------------------------------- */

static enum question question_of(const struct cover_settings *settings)
{
    if (!settings->count)
        return COVER_ALL;
    return settings->worst ? COVER_WORST : COVER_MOST;
}

static enum status answer(const struct cover_settings *settings, const struct cover_task *task,
                          struct cover *cover, struct error *error)
{
    switch (question_of(settings)) {
    case COVER_MOST:
        return cover_most(task, (size_t)settings->count, settings->within, cover, error);
    case COVER_WORST:
        return cover_count(task, (size_t)settings->count, cover, error);
    default:
        return cover_fewest(task, settings->within, cover, error);
    }
}

static enum status choose(const struct cover_settings *settings, const struct cover_task *task,
                          bool *bought, struct error *error)
{
    struct cover cover = {0};
    enum status status = answer(settings, task, &cover, error);

    if (!status)
        tell(task, &cover, question_of(settings), settings->more,
             settings->format == TABLE_TEXT ? stdout : stderr);
    if (!status && settings->format == TABLE_TEXT)
        status = print_for_people(task, &cover, settings->more, error);
    else if (!status)
        status = print_for_programs(task, &cover, settings->format, error);
    if (!status && settings->picture)
        status = draw(settings->picture, task, &cover, error);
    *bought = cover.bought > 0;
    cover_release(&cover);
    return status;
}

/* `bought` tells whether there was anything to buy. */
static enum status cover_range(const struct cover_settings *settings, bool *bought,
                               struct error *error)
{
    const struct cover_wishes wishes = {settings->own,
                                        settings->cost,
                                        {settings->must.words, settings->must.count},
                                        {settings->never.words, settings->never.count}};
    struct measured_range measured = {0};
    struct families families = {0};
    struct cover_job job = {0};
    enum status status = measured_range_load(settings->inventory, &measured, error);

    if (!status)
        notes_of_range(&measured, stderr);
    if (!status && !measured.count)
        status = error_set(error, STATUS_INVENTORY,
                           "no ink of the inventory has a colour yet, so there is nothing to "
                           "choose among; 'woad measure PHOTO' adds them");
    if (!status)
        status = cover_job_create(&wishes, &measured, &job, error);
    if (!status && question_of(settings) == COVER_MOST)
        status = families_create(&measured, NULL, &families, error);
    job.task.seconds = settings->seconds;
    job.task.family = families.of_ink;
    job.task.families = families.count;
    if (!status)
        status = choose(settings, &job.task, bought, error);
    cover_job_release(&job);
    families_release(&families);
    measured_range_release(&measured);
    return status;
}

static int run_cover(const struct command *command, int count, char **words)
{
    struct cover_settings settings = {.within = NAN, .seconds = SECONDS_USUAL};
    bool bought = false;
    struct error error;
    enum status status = options_parse(command, &count, words, &settings, &error);

    if (!status && settings.worst && !settings.count)
        status = error_set(&error, STATUS_USAGE,
                           "--worst is of use only with --count, which says how many inks to buy");
    if (!status && settings.worst && !isnan(settings.within))
        status = error_set(&error, STATUS_USAGE,
                           "--worst looks for the smallest gap, --within tells one; give one");
    if (isnan(settings.within))
        settings.within = settings.count ? COVER_ACCEPTABLE : NEAR_CLOSE;
    if (!status)
        status = cover_range(&settings, &bought, &error);
    if (!status && !bought)
        return STATUS_NO_ANSWER;
    return commands_report(status, &error);
}

const struct command command_cover = {
    .name = "cover",
    .operands = "",
    .summary = "choose the fewest inks to buy so that every ink has a stand-in",
    .options = cover_options,
    .run = run_cover,
};
