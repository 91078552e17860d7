#include "analysis/near.h"
#include "commands.h"
#include "questions/cover_task.h"
#include "questions/measured_range.h"
#include "output/range_rows.h"
#include "notes.h"

#include <math.h>

#define SECONDS_USUAL 20
#define SECONDS_MAX 86400
#define NAMED_MAX 6

struct cover_settings {
    double within;
    int count;
    const char *own;
    const char *cost;
    struct option_words must;
    struct option_words never;
    int seconds;
    const char *inventory;
    enum table_format format;
};

static const struct option cover_options[] = {
    OPTION_BETWEEN(struct cover_settings, within, 0, 100, "within", "DE",
                   "the fewest inks that leave none farther off; 3 if not told"),
    OPTION_BETWEEN(struct cover_settings, count, 1, COVER_INKS_MAX, "count", "N",
                   "instead: at most N inks, with the smallest worst gap"),
    OPTION(struct cover_settings, own, "own", "FILE", "the inks owned already, a name a line"),
    OPTION(struct cover_settings, cost, "cost", "FILE",
           "prices, 'ink,price' a line: the cheapest instead of the fewest"),
    OPTION_TIMES(struct cover_settings, must, OPTION_WORDS_MAX, "must", "INK",
                 "buy this one; may be given again and again"),
    OPTION_TIMES(struct cover_settings, never, OPTION_WORDS_MAX, "never", "INK",
                 "do not buy this one; may be given again and again"),
    OPTION_BETWEEN(struct cover_settings, seconds, 1, SECONDS_MAX, "seconds", "N",
                   "how long to look for a proof; 20 if not told"),
    COMMANDS_INVENTORY_OPTION(struct cover_settings),
    COMMANDS_FORMAT_OPTION(struct cover_settings),
    {0}};

/* --- what came of it, in sentences ---------------------------------------------------------- */

static const char *plural(size_t count)
{
    return count == 1 ? "" : "s";
}

static void tell_choice(const struct cover_task *task, const struct cover *cover, FILE *out)
{
    fprintf(out, "Range: %zu ink%s with a colour, %zu owned. Buy %zu", cover->count,
            plural(cover->count), cover->owned, cover->bought);
    if (task->price)
        fprintf(out, " for %.2f", cover->cost);
    fprintf(out, ": every ink %s a stand-in within delta E %.2f.\n",
            cover->unserved ? "that can be served has" : "has", cover->within);
}

static void tell_proof(const struct cover_task *task, const struct cover *cover, bool by_count,
                       FILE *out)
{
    if (by_count && cover->proven)
        fputs("Proven: as many inks leave no smaller worst gap.\n", out);
    else if (by_count)
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
        fprintf(out,
                "%zu stand-in%s within it or not as far as the readings tell ('or perhaps').\n",
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

static void tell_unserved(const struct cover_task *task, const struct cover *cover, FILE *out)
{
    size_t named = 0;

    if (!cover->unserved)
        return;
    fprintf(out, "Without a stand-in among those allowed: %zu ink%s: ", cover->unserved,
            plural(cover->unserved));
    for (size_t i = 0; i < cover->count && named < NAMED_MAX; i++)
        if (!cover->inks[i].served)
            fprintf(out, "%s%s", named++ ? ", " : "", task->inks[i].name);
    fprintf(out, "%s\n", cover->unserved > NAMED_MAX ? ", ..." : "");
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

static void tell(const struct cover_task *task, const struct cover *cover, bool by_count, FILE *out)
{
    tell_choice(task, cover, out);
    tell_proof(task, cover, by_count, out);
    if (by_count)
        tell_worst(task, cover, out);
    else
        tell_doubt(task, cover, out);
    tell_unpriced(task, out);
    tell_unserved(task, cover, out);
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
                                    struct error *error)
{
    struct table purchases = {0}, stand_ins = {0};
    enum status status = range_rows_purchases(task, cover, &purchases, error);

    if (!status)
        status = range_rows_stand_ins(task, cover, false, &stand_ins, error);
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

static enum status choose(const struct cover_settings *settings, const struct cover_task *task,
                          struct error *error)
{
    bool by_count = settings->count > 0;
    struct cover cover = {0};
    enum status status = by_count ? cover_count(task, (size_t)settings->count, &cover, error)
                                  : cover_fewest(task, settings->within, &cover, error);

    if (!status)
        tell(task, &cover, by_count, settings->format == TABLE_TEXT ? stdout : stderr);
    if (!status && settings->format == TABLE_TEXT)
        status = print_for_people(task, &cover, error);
    else if (!status)
        status = print_for_programs(task, &cover, settings->format, error);
    cover_release(&cover);
    return status;
}

static enum status cover_range(const struct cover_settings *settings, struct error *error)
{
    const struct cover_wishes wishes = {settings->own,
                                        settings->cost,
                                        {settings->must.words, settings->must.count},
                                        {settings->never.words, settings->never.count}};
    struct measured_range measured = {0};
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
    job.task.seconds = settings->seconds;
    if (!status)
        status = choose(settings, &job.task, error);
    cover_job_release(&job);
    measured_range_release(&measured);
    return status;
}

static int run_cover(const struct command *command, int count, char **words)
{
    struct cover_settings settings = {.within = NAN, .seconds = SECONDS_USUAL};
    struct error error;
    enum status status = options_parse(command, &count, words, &settings, &error);

    if (!status && settings.count && !isnan(settings.within))
        status = error_set(&error, STATUS_USAGE,
                           "--within asks for the fewest inks, --count for the best of so many; "
                           "give one");
    if (isnan(settings.within))
        settings.within = NEAR_CLOSE;
    if (!status)
        status = cover_range(&settings, &error);
    return commands_report(status, &error);
}

const struct command command_cover = {
    .name = "cover",
    .operands = "",
    .summary = "choose the fewest inks to buy so that every ink has a stand-in",
    .options = cover_options,
    .run = run_cover,
};
