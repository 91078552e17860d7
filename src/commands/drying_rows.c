#include "drying_rows.h"

#include "analysis/magnitude.h"
#include "analysis/perceptual.h"
#include "base/memory.h"
#include "files/clock.h"
#include "files/names.h"
#include "output/drying_plot.h"
#include "values/linear.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define COUNT(array) (sizeof(array) / sizeof *(array))
#define BEYOND_CHANCE 0.05
#define INSTANT_LENGTH 16 /* of "2026-05-03 10:20": seconds and offset say nothing here */

/* --- sentences ------------------------------------------------------------------------------ */

void drying_place(const struct drying_swatch *swatch, char text[DRYING_PLACE_SIZE])
{
    const struct inventory_reading *kept = swatch->kept;
    char label[NAMES_LABEL_SIZE];

    names_label(kept->reading.row, kept->reading.column, label);
    snprintf(text, DRYING_PLACE_SIZE, "%s of %.200s%s%.200s", label, kept->chart,
             kept->batch ? ", batch " : "", kept->batch ? kept->batch : "");
}

/* "about 40 min (30 to 55 min)". */
static void figure_of_time(const struct drying_figure *figure, char *text, size_t size)
{
    char value[DURATION_TEXT_SIZE], low[DURATION_TEXT_SIZE], high[DURATION_TEXT_SIZE];

    duration_format(figure->value, value);
    duration_format(figure->low, low);
    if (isfinite(figure->high))
        duration_format(figure->high, high);
    snprintf(text, size, "about %s (95 %%: %s to %s)", value, low,
             isfinite(figure->high) ? high : "no bound");
}

/* An instant on the clock of the swatch's first photo. */
static void instant(const struct drying_swatch *swatch, double t_s, char text[CLOCK_TEXT_SIZE])
{
    struct photo_time time = swatch->kept->taken;

    time.source = PHOTO_TIME_GIVEN;
    time.utc_seconds = swatch->drying.origin_s + (int64_t)ceil(t_s / 60) * 60;
    clock_format(&time, text);
    text[INSTANT_LENGTH] = '\0';
}

static void say_settling(const struct drying_swatch *swatch, char *text, size_t size)
{
    const struct drying *drying = &swatch->drying;
    const char *since = drying->inked_known ? "" : " from its first reading";
    char after[96], when[CLOCK_TEXT_SIZE];

    figure_of_time(&drying->settled_s, after, sizeof after);
    instant(swatch, drying->settled_s.value, when);
    if (drying->state == DRYING_SETTLED)
        snprintf(text, size, "settled after %s%s; measure from %s", after, since, when);
    else if (isfinite(drying->settled_s.high))
        snprintf(text, size, "has not settled: it will after %s%s; measure from %s", after, since,
                 when);
    else
        snprintf(text, size,
                 "has not settled, and when it will can't be told yet: photograph it again later");
}

static void say_too_few(const struct drying_swatch *swatch, char *text, size_t size)
{
    size_t count = swatch->count;

    if (count == 0)
        snprintf(text, size,
                 "no reading of known time: tell when its photos were taken with "
                 "'woad measure --at'");
    else
        snprintf(text, size,
                 "too few readings: %zu, a fit needs %d at different times: photograph the chart "
                 "again",
                 count, DRYING_READINGS_MIN);
}

static void say_fading(const struct drying_swatch *swatch, char *text, size_t size)
{
    const struct drying_figure *fading = &swatch->drying.fading;

    snprintf(text, size,
             "is fading: drifts by %.1f delta E in 30 days (95 %%: %.1f to %.1f), long after "
             "drying",
             fading->value, fading->low, fading->high);
}

void drying_sentence(const struct drying_swatch *swatch, char text[DRYING_SENTENCE_SIZE])
{
    switch (swatch->drying.state) {
    case DRYING_TOO_FEW:
        say_too_few(swatch, text, DRYING_SENTENCE_SIZE);
        break;
    case DRYING_UNMOVED:
        snprintf(text, DRYING_SENTENCE_SIZE,
                 "no change beyond the uncertainty: it was dry before the first reading, or "
                 "moves less than can be seen");
        break;
    case DRYING_FADING:
        say_fading(swatch, text, DRYING_SENTENCE_SIZE);
        break;
    default:
        say_settling(swatch, text, DRYING_SENTENCE_SIZE);
    }
}

static const char *state_word(enum drying_state state)
{
    static const char *const words[] = {[DRYING_TOO_FEW] = "too few",
                                        [DRYING_UNMOVED] = "unmoved",
                                        [DRYING_SETTLED] = "settled",
                                        [DRYING_WET] = "wet",
                                        [DRYING_FADING] = "fading"};

    return words[state];
}

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

/* Whether two readings of a swatch differ by more than their errors explain. */
static bool is_beyond(const struct observation *from, const struct observation *to)
{
    struct magnitude magnitude = {.freedom = INFINITY};
    double frame[9], covariance[9];

    perceptual_frame(perceptual_middle(from->lab, to->lab), frame);
    linear_apply_3x3(
        frame,
        (double[3]){to->lab.L - from->lab.L, to->lab.a - from->lab.a, to->lab.b - from->lab.b},
        magnitude.difference);
    for (int i = 0; i < 9; i++)
        covariance[i] = from->covariance_own[i] + from->covariance_shared[i] +
                        to->covariance_own[i] + to->covariance_shared[i];
    linear_carry_3x3(frame, covariance, magnitude.covariance);
    return magnitude_chance(&magnitude) < BEYOND_CHANCE;
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
    bool beyond = place > 0 && is_beyond(first, here);

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
    {"says", NULL, COLUMN_TEXT, 0, COLUMN_EVERYWHERE},
};

static bool has_curve(const struct drying_swatch *swatch)
{
    return swatch->drying.fitted && swatch->drying.tau_s.value > 0;
}

/* How a swatch moved: along its curve, else from its first reading to its last. */
static struct difference move_of(const struct drying_set *set, const struct drying_swatch *swatch)
{
    const struct observation *first = &set->steadied[swatch->first];

    if (has_curve(swatch))
        return difference_between(swatch->drying.wet, swatch->drying.dry);
    return difference_between(first->lab, first[swatch->count - 1].lab);
}

static double if_curve(const struct drying_swatch *swatch, double value)
{
    return has_curve(swatch) ? value : NAN;
}

static enum status add_swatch(const struct drying_set *set, const struct drying_swatch *swatch,
                              struct table *table, struct error *error)
{
    const struct drying *drying = &swatch->drying;
    struct difference moved = swatch->count ? move_of(set, swatch) : (struct difference){0};
    double known = swatch->count > 1 ? 0 : NAN, fitted = drying->fitted ? 0 : NAN;
    char label[NAMES_LABEL_SIZE], words[DIFFERENCE_WORDS_SIZE], says[DRYING_SENTENCE_SIZE];

    names_label(swatch->kept->reading.row, swatch->kept->reading.column, label);
    difference_words(&moved, DIFFERENCE_NOTICEABLE, words);
    drying_sentence(swatch, says);
    return table_add(table,
                     (const struct field[COUNT(swatch_columns)]){
                         field_text(swatch->kept->ink),
                         field_text(swatch->kept->chart),
                         field_text(label),
                         field_text(swatch->kept->batch),
                         field_number((double)swatch->count),
                         field_text(state_word(drying->state)),
                         field_number(moved.delta_e + known),
                         field_number(if_curve(swatch, drying->moved.low)),
                         field_number(if_curve(swatch, drying->moved.high)),
                         field_number(moved.dL + known),
                         field_number(moved.dC + known),
                         field_number(moved.dH + known),
                         field_text(swatch->count > 1 ? words : NULL),
                         field_number(if_curve(swatch, drying->tau_s.value / 60)),
                         field_number(if_curve(swatch, drying->tau_s.low / 60)),
                         field_number(if_curve(swatch, drying->tau_s.high / 60)),
                         field_number(if_curve(swatch, drying->settled_s.value / 60)),
                         field_number(if_curve(swatch, drying->settled_s.low / 60)),
                         field_number(if_curve(swatch, drying->settled_s.high / 60)),
                         field_number(drying->dry.L + fitted),
                         field_number(drying->dry.a + fitted),
                         field_number(drying->dry.b + fitted),
                         field_number(drying->state == DRYING_TOO_FEW ? NAN : drying->noise),
                         field_number(swatch->steady.controls),
                         field_number(drying->state == DRYING_FADING ? drying->fading.value : NAN),
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

        ranked[i] = (struct ranked){swatch, swatch->count ? move_of(set, swatch).delta_e : -1};
    }
    if (!status && set->count)
        qsort(ranked, set->count, sizeof *ranked, furthest_first);
    for (size_t i = 0; !status && i < set->count; i++)
        status = add_swatch(set, ranked[i].swatch, table, error);
    free(ranked);
    return status;
}
