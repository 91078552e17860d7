#include "output/drying_rows.h"

#include "base/memory.h"
#include "output/drying_words.h"
#include "values/calendar.h"
#include "files/names.h"
#include "output/drying_plot.h"
#include "quantity.h"
#include "values/interval.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* --- readings ------------------------------------------------------------------------------- */

/* The delta E from one reading of a swatch to another; they differ where its bounds leave 0. */
static struct interval moved_between(const struct observation *from, const struct observation *to)
{
    double covariance[9];

    for (int i = 0; i < 9; i++)
        covariance[i] = from->covariance_own[i] + from->covariance_shared[i] +
                        to->covariance_own[i] + to->covariance_shared[i];
    return interval_of_difference(from->lab, to->lab, covariance);
}

/* Which swatch a row is about. */
static void put_swatch_name(struct table *table, const struct inventory_reading *kept)
{
    table_text(table, COLUMN("ink"), kept->ink);
    table_text(table, COLUMN("chart", .place = COLUMN_IN_DATA), kept->chart);
    quantity_cell(table, kept->reading.row, kept->reading.column, COLUMN_EVERYWHERE);
    table_text(table, COLUMN("batch", .place = COLUMN_IN_DATA), kept->batch);
}

static void put_age(struct table *table, int64_t age_s)
{
    char age[DURATION_TEXT_SIZE];

    drying_format_duration((double)age_s, age);
    table_text(table, COLUMN("age", .place = COLUMN_IN_TEXT), age_s < 0 ? NULL : age);
    table_number(table, COLUMN("age_minutes", .decimals = 1, .place = COLUMN_IN_DATA),
                 age_s < 0 ? NAN : (double)age_s / 60);
}

static void put_colour(struct table *table, struct lab lab)
{
    table_number(table, COLUMN("L", .title = "L*", .decimals = 2), lab.L);
    table_number(table, COLUMN("C", .title = "C*", .decimals = 2), colour_chroma(lab));
    table_number(table, COLUMN("h", .decimals = 1), colour_hue_degrees(lab));
}

/* How a swatch differs from its first reading and its latest. */
static void put_changes(struct table *table, const struct observation *first,
                        const struct observation *here, const struct observation *latest)
{
    struct difference moved = difference_between(first->lab, here->lab);
    bool beyond = here > first && moved_between(first, here).low > 0;
    char words[DIFFERENCE_WORDS_SIZE];

    difference_words(&moved, DIFFERENCE_NOTICEABLE, words);
    table_number(table, COLUMN("from_first", .title = "from first", .decimals = 2), moved.delta_e);
    table_number(table, COLUMN("from_latest", .title = "from latest", .decimals = 2),
                 colour_delta_e_2000(here->lab, latest->lab));
    table_text(table, COLUMN("beyond", .title = "beyond error"),
               here == first ? NULL
               : beyond      ? "yes"
                             : "no");
    table_text(table, COLUMN("difference"), here == first ? NULL : words);
}

/* One of the readings of a swatch, between its first and its latest. */
static void put_reading(struct table *table, const struct inventory_reading *kept,
                        const struct observation *first, const struct observation *here,
                        const struct observation *latest)
{
    struct photo_time taken = {PHOTO_TIME_GIVEN, here->taken_s, kept->taken.offset_minutes, true};

    table_row(table);
    put_swatch_name(table, kept);
    quantity_time(table, COLUMN("taken"), &taken);
    put_age(table, observation_age_s(here));
    put_colour(table, here->lab);
    put_changes(table, first, here, latest);
}

enum status drying_rows_of_readings(const struct drying_set *set, struct table *table,
                                    struct error *error)
{
    const struct observation nothing = {0};

    put_reading(table, &(const struct inventory_reading){0}, &nothing, &nothing, &nothing);
    table_keep_columns(table);
    for (size_t i = 0; i < set->count; i++) {
        const struct drying_swatch *swatch = &set->swatches[i];
        const struct observation *first = &set->steadied[swatch->first];

        for (size_t j = 0; j < swatch->count; j++)
            put_reading(table, swatch->kept, first, first + j, first + swatch->count - 1);
    }
    return table_check(table, error);
}

/* --- swatches ------------------------------------------------------------------------------- */

static bool has_curve(const struct drying_swatch *swatch)
{
    return swatch->drying.fitted && swatch->drying.tau_s.value > 0;
}

/* How a swatch moved: along its curve, else from its first reading to its last. */
struct move {
    struct difference difference;
    double low, high; /* the 95 % interval of its delta E */
};

static struct move move_of(const struct drying_set *set, const struct drying_swatch *swatch)
{
    const struct drying *drying = &swatch->drying;
    const struct observation *first = &set->steadied[swatch->first];
    const struct observation *last = first + swatch->count - 1;
    struct interval moved;

    if (has_curve(swatch))
        return (struct move){difference_between(drying->wet, drying->dry), drying->moved.low,
                             drying->moved.high};
    if (swatch->count < 2)
        return (struct move){.difference.delta_e = 0};
    moved = moved_between(first, last);
    if (drying->state ==
        DRYING_UNMOVED) /* all its readings say so, and first and last are but two */
        moved.low = 0;
    return (struct move){difference_between(first->lab, last->lab), moved.low, moved.high};
}

/* Words, or a value missing where there are none. */
static void put_words(struct table *table, struct column column, const char *words)
{
    table_text(table, column, words[0] ? words : NULL);
}

/* What it did in words, where it moved beyond the error. */
static void change_of(const struct move *move, bool known, char words[DIFFERENCE_WORDS_SIZE])
{
    words[0] = '\0';
    if (known && !(move->low > 0))
        snprintf(words, DIFFERENCE_WORDS_SIZE, "within the error");
    else if (known)
        difference_words(&move->difference, DIFFERENCE_NOTICEABLE, words);
}

/* How far it moved; nothing of a swatch read once. */
static void put_move(struct table *table, const struct move *move, bool known)
{
    const struct interval moved = {move->difference.delta_e, move->low, move->high};
    char words[DIFFERENCE_WORDS_SIZE];

    change_of(move, known, words);
    quantity_delta_e(table, known ? &moved : NULL);
    quantity_parts(table, known ? &move->difference : NULL, COLUMN_IN_DATA);
    put_words(table, COLUMN("difference"), words);
}

/* From when on it may be measured. */
static void put_when(struct table *table, const struct drying_swatch *swatch)
{
    char brief[DRYING_BRIEF_SIZE], from[DRYING_INSTANT_SIZE], shown[DRYING_INSTANT_SHOWN + 1];

    drying_brief(swatch, brief);
    drying_sure_from(swatch, from);
    snprintf(shown, sizeof shown, "%.*s", DRYING_INSTANT_SHOWN, from);
    put_words(table, COLUMN("dry_after", .title = "dry after (95 %)", .place = COLUMN_IN_TEXT),
              brief);
    put_words(table, COLUMN("measure_from", .place = COLUMN_IN_DATA), from);
    put_words(table, COLUMN("measure_at", .title = "measure from", .place = COLUMN_IN_TEXT), shown);
}

/* A span of the curve with its bounds; missing where there is no curve. */
static void put_span(struct table *table, const char *const names[3],
                     const struct drying_swatch *swatch, const struct drying_figure *span)
{
    const double unknown = has_curve(swatch) ? 0 : NAN;
    const double seconds[3] = {span->value, span->low, span->high};

    for (int i = 0; i < 3; i++)
        table_number(table, COLUMN(names[i], .decimals = 1, .place = COLUMN_IN_DATA),
                     seconds[i] / 60 + unknown);
}

static void put_curve(struct table *table, const struct drying_swatch *swatch)
{
    static const char *const tau[3] = {"tau_minutes", "tau_low", "tau_high"};
    static const char *const settled[3] = {"settled_minutes", "settled_low", "settled_high"};
    const struct drying *drying = &swatch->drying;
    const double unknown = drying->fitted ? 0 : NAN;

    put_span(table, tau, swatch, &drying->tau_s);
    put_span(table, settled, swatch, &drying->settled_s);
    table_number(table, COLUMN("dry_L", .decimals = 2, .place = COLUMN_IN_DATA),
                 drying->dry.L + unknown);
    table_number(table, COLUMN("dry_a", .decimals = 2, .place = COLUMN_IN_DATA),
                 drying->dry.a + unknown);
    table_number(table, COLUMN("dry_b", .decimals = 2, .place = COLUMN_IN_DATA),
                 drying->dry.b + unknown);
    table_number(table, COLUMN("noise", .decimals = 2, .place = COLUMN_IN_DATA),
                 drying->state == DRYING_TOO_FEW ? NAN : drying->noise);
}

static void put_swatch(struct table *table, const struct drying_swatch *swatch,
                       const struct move *move)
{
    const struct drying *drying = &swatch->drying;
    char says[DRYING_SENTENCE_SIZE];

    drying_sentence(swatch, says);
    table_row(table);
    put_swatch_name(table, swatch->kept);
    table_number(table, COLUMN("readings"), (double)swatch->count);
    table_text(table, COLUMN("state"), drying_state_words(drying->state));
    put_move(table, move, swatch->count > 1);
    put_when(table, swatch);
    put_curve(table, swatch);
    table_number(table, COLUMN("controls", .place = COLUMN_IN_DATA), swatch->steady.controls);
    table_number(table, COLUMN("fading_30_days", .decimals = 2, .place = COLUMN_IN_DATA),
                 drying->state == DRYING_FADING ? drying->fading.value : NAN);
    table_text(table, COLUMN("says", .place = COLUMN_IN_DATA), says);
}

/* A swatch and how far it moved, for the ranking. */
struct ranked {
    const struct drying_swatch *swatch;
    double moved;
};

static int furthest_first(const void *left, const void *right)
{
    const struct ranked *a = left, *b = right;

    if (a->moved > b->moved || a->moved < b->moved)
        return a->moved > b->moved ? -1 : 1;
    return (a->swatch > b->swatch) - (a->swatch < b->swatch);
}

/* The columns alone, by a swatch that is none. */
static void put_header(struct table *table)
{
    const struct inventory_reading nothing = {0};

    put_swatch(table, &(const struct drying_swatch){.kept = &nothing}, &(const struct move){0});
    table_keep_columns(table);
}

enum status drying_rows_of_swatches(const struct drying_set *set, struct table *table,
                                    struct error *error)
{
    struct ranked *ranked = memory_array(set->count, sizeof *ranked, "the swatches", error);
    enum status status = ranked ? STATUS_OK : error->status;

    put_header(table);
    for (size_t i = 0; !status && i < set->count; i++) {
        const struct drying_swatch *swatch = &set->swatches[i];

        ranked[i] = (struct ranked){
            swatch, swatch->count > 1 ? move_of(set, swatch).difference.delta_e : -1};
    }
    if (!status && set->count)
        qsort(ranked, set->count, sizeof *ranked, furthest_first);
    for (size_t i = 0; !status && i < set->count; i++) {
        const struct move move = move_of(set, ranked[i].swatch);

        put_swatch(table, ranked[i].swatch, &move);
    }
    free(ranked);
    return status ? status : table_check(table, error);
}
