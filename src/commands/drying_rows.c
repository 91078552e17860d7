#include "drying_rows.h"

#include "base/memory.h"
#include "drying_words.h"
#include "files/clock.h"
#include "files/names.h"
#include "output/drying_plot.h"
#include "values/interval.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define COUNT(array) (sizeof(array) / sizeof *(array))

/* --- readings ------------------------------------------------------------------------------- */

static const struct column reading_columns[] = {
    {"ink", NULL, COLUMN_TEXT, 0, COLUMN_EVERYWHERE},
    {"chart", NULL, COLUMN_TEXT, 0, COLUMN_IN_DATA},
    {"cell", NULL, COLUMN_TEXT, 0, COLUMN_EVERYWHERE},
    {"batch", NULL, COLUMN_TEXT, 0, COLUMN_IN_DATA},
    {"taken", NULL, COLUMN_TEXT, 0, COLUMN_EVERYWHERE},
    {"age", NULL, COLUMN_TEXT, 0, COLUMN_IN_TEXT},
    {"age_minutes", NULL, COLUMN_NUMBER, 1, COLUMN_IN_DATA},
    {"L", "L*", COLUMN_NUMBER, 2, COLUMN_EVERYWHERE},
    {"C", "C*", COLUMN_NUMBER, 2, COLUMN_EVERYWHERE},
    {"h", NULL, COLUMN_NUMBER, 1, COLUMN_EVERYWHERE},
    {"from_first", "from first", COLUMN_NUMBER, 2, COLUMN_EVERYWHERE},
    {"from_latest", "from latest", COLUMN_NUMBER, 2, COLUMN_EVERYWHERE},
    {"beyond", "beyond error", COLUMN_TEXT, 0, COLUMN_EVERYWHERE},
    {"change", NULL, COLUMN_TEXT, 0, COLUMN_EVERYWHERE},
};

/* The delta E from one reading of a swatch to another; they differ where its bounds leave 0. */
static struct interval moved_between(const struct observation *from, const struct observation *to)
{
    double covariance[9];

    for (int i = 0; i < 9; i++)
        covariance[i] = from->covariance_own[i] + from->covariance_shared[i] +
                        to->covariance_own[i] + to->covariance_shared[i];
    return interval_of_difference(from->lab, to->lab, covariance);
}

static enum status add_reading(const struct drying_set *set, const struct drying_swatch *swatch,
                               size_t place, struct table *table, struct error *error)
{
    const struct observation *first = &set->steadied[swatch->first];
    const struct observation *latest = first + swatch->count - 1, *here = first + place;
    struct difference moved = difference_between(first->lab, here->lab);
    struct photo_time taken = {PHOTO_TIME_GIVEN, here->taken_s, swatch->kept->taken.offset_minutes,
                               true};
    int64_t age_s = observation_age_s(here);
    char label[NAMES_LABEL_SIZE], when[CLOCK_TEXT_SIZE], age[DURATION_TEXT_SIZE];
    char words[DIFFERENCE_WORDS_SIZE];
    bool beyond = place > 0 && moved_between(first, here).low > 0;

    names_label(swatch->kept->reading.row, swatch->kept->reading.column, label);
    clock_format(&taken, when);
    duration_format((double)age_s, age);
    difference_words(&moved, DIFFERENCE_NOTICEABLE, words);
    return table_add(
        table,
        (const struct field[COUNT(reading_columns)]){
            field_text(swatch->kept->ink), field_text(swatch->kept->chart), field_text(label),
            field_text(swatch->kept->batch), field_text(when), field_text(age_s < 0 ? NULL : age),
            field_number(age_s < 0 ? NAN : (double)age_s / 60), field_number(here->lab.L),
            field_number(colour_chroma(here->lab)), field_number(colour_hue_degrees(here->lab)),
            field_number(moved.delta_e), field_number(colour_delta_e_2000(here->lab, latest->lab)),
            field_text(place == 0 ? NULL
                       : beyond   ? "yes"
                                  : "no"),
            field_text(place == 0 ? NULL : words)},
        error);
}

enum status drying_rows_of_readings(const struct drying_set *set, struct table *table,
                                    struct error *error)
{
    enum status status = STATUS_OK;

    *table = (struct table){.columns = reading_columns, .column_count = COUNT(reading_columns)};
    for (size_t i = 0; !status && i < set->count; i++)
        for (size_t j = 0; !status && j < set->swatches[i].count; j++)
            status = add_reading(set, &set->swatches[i], j, table, error);
    return status;
}

/* --- swatches ------------------------------------------------------------------------------- */

static const struct column swatch_columns[] = {
    {"ink", NULL, COLUMN_TEXT, 0, COLUMN_EVERYWHERE},
    {"chart", NULL, COLUMN_TEXT, 0, COLUMN_IN_DATA},
    {"cell", NULL, COLUMN_TEXT, 0, COLUMN_EVERYWHERE},
    {"batch", NULL, COLUMN_TEXT, 0, COLUMN_IN_DATA},
    {"readings", NULL, COLUMN_NUMBER, 0, COLUMN_EVERYWHERE},
    {"state", NULL, COLUMN_TEXT, 0, COLUMN_EVERYWHERE},
    {"moved", NULL, COLUMN_NUMBER, 2, COLUMN_EVERYWHERE},
    {"moved_low", "95 % from", COLUMN_NUMBER, 2, COLUMN_EVERYWHERE},
    {"moved_high", "to", COLUMN_NUMBER, 2, COLUMN_EVERYWHERE},
    {"dL", NULL, COLUMN_NUMBER, 2, COLUMN_IN_DATA},
    {"dC", NULL, COLUMN_NUMBER, 2, COLUMN_IN_DATA},
    {"dH", NULL, COLUMN_NUMBER, 2, COLUMN_IN_DATA},
    {"change", NULL, COLUMN_TEXT, 0, COLUMN_EVERYWHERE},
    {"dry_after", "dry after (95 %)", COLUMN_TEXT, 0, COLUMN_IN_TEXT},
    {"measure_from", NULL, COLUMN_TEXT, 0, COLUMN_IN_DATA},
    {"measure_at", "measure from", COLUMN_TEXT, 0, COLUMN_IN_TEXT},
    {"tau_minutes", NULL, COLUMN_NUMBER, 1, COLUMN_IN_DATA},
    {"tau_low", NULL, COLUMN_NUMBER, 1, COLUMN_IN_DATA},
    {"tau_high", NULL, COLUMN_NUMBER, 1, COLUMN_IN_DATA},
    {"settled_minutes", NULL, COLUMN_NUMBER, 1, COLUMN_IN_DATA},
    {"settled_low", NULL, COLUMN_NUMBER, 1, COLUMN_IN_DATA},
    {"settled_high", NULL, COLUMN_NUMBER, 1, COLUMN_IN_DATA},
    {"dry_L", NULL, COLUMN_NUMBER, 2, COLUMN_IN_DATA},
    {"dry_a", NULL, COLUMN_NUMBER, 2, COLUMN_IN_DATA},
    {"dry_b", NULL, COLUMN_NUMBER, 2, COLUMN_IN_DATA},
    {"noise", NULL, COLUMN_NUMBER, 2, COLUMN_IN_DATA},
    {"controls", NULL, COLUMN_NUMBER, 0, COLUMN_IN_DATA},
    {"fading_30_days", NULL, COLUMN_NUMBER, 2, COLUMN_IN_DATA},
    {"says", NULL, COLUMN_TEXT, 0, COLUMN_IN_DATA},
};

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
    return (struct move){difference_between(first->lab, last->lab), moved.low, moved.high};
}

static struct field field_of_curve(const struct drying_swatch *swatch, double value)
{
    return has_curve(swatch) ? field_number(value) : field_missing();
}

static struct field field_if(bool known, double value)
{
    return known ? field_number(value) : field_missing();
}

static struct field field_of_words(const char *words)
{
    return field_text(words[0] ? words : NULL);
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

static enum status add_swatch(const struct drying_set *set, const struct drying_swatch *swatch,
                              struct table *table, struct error *error)
{
    const struct drying *drying = &swatch->drying;
    const struct move move = move_of(set, swatch);
    bool known = swatch->count > 1;
    char label[NAMES_LABEL_SIZE], words[DIFFERENCE_WORDS_SIZE], says[DRYING_SENTENCE_SIZE];
    char brief[DRYING_BRIEF_SIZE], from[DRYING_INSTANT_SIZE];
    char shown[DRYING_INSTANT_SHOWN + 1];

    names_label(swatch->kept->reading.row, swatch->kept->reading.column, label);
    change_of(&move, known, words);
    drying_sentence(swatch, says);
    drying_brief(swatch, brief);
    drying_sure_from(swatch, from);
    snprintf(shown, sizeof shown, "%.*s", DRYING_INSTANT_SHOWN, from);
    return table_add(table,
                     (const struct field[COUNT(swatch_columns)]){
                         field_text(swatch->kept->ink),
                         field_text(swatch->kept->chart),
                         field_text(label),
                         field_text(swatch->kept->batch),
                         field_number((double)swatch->count),
                         field_text(drying_state_words(drying->state)),
                         field_if(known, move.difference.delta_e),
                         field_if(known, move.low),
                         field_if(known, move.high),
                         field_if(known, move.difference.dL),
                         field_if(known, move.difference.dC),
                         field_if(known, move.difference.dH),
                         field_of_words(words),
                         field_of_words(brief),
                         field_of_words(from),
                         field_of_words(shown),
                         field_of_curve(swatch, drying->tau_s.value / 60),
                         field_of_curve(swatch, drying->tau_s.low / 60),
                         field_of_curve(swatch, drying->tau_s.high / 60),
                         field_of_curve(swatch, drying->settled_s.value / 60),
                         field_of_curve(swatch, drying->settled_s.low / 60),
                         field_of_curve(swatch, drying->settled_s.high / 60),
                         field_if(drying->fitted, drying->dry.L),
                         field_if(drying->fitted, drying->dry.a),
                         field_if(drying->fitted, drying->dry.b),
                         field_if(drying->state != DRYING_TOO_FEW, drying->noise),
                         field_number(swatch->steady.controls),
                         field_if(drying->state == DRYING_FADING, drying->fading.value),
                         field_text(says)},
                     error);
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

enum status drying_rows_of_swatches(const struct drying_set *set, struct table *table,
                                    struct error *error)
{
    struct ranked *ranked = memory_array(set->count, sizeof *ranked, "the swatches", error);
    enum status status = ranked ? STATUS_OK : error->status;

    *table = (struct table){.columns = swatch_columns, .column_count = COUNT(swatch_columns)};
    for (size_t i = 0; !status && i < set->count; i++) {
        const struct drying_swatch *swatch = &set->swatches[i];

        ranked[i] = (struct ranked){
            swatch, swatch->count > 1 ? move_of(set, swatch).difference.delta_e : -1};
    }
    if (!status && set->count)
        qsort(ranked, set->count, sizeof *ranked, furthest_first);
    for (size_t i = 0; !status && i < set->count; i++)
        status = add_swatch(set, ranked[i].swatch, table, error);
    free(ranked);
    return status;
}
