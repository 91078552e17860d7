#include "questions/range_load.h"

#include "analysis/settled.h"
#include "base/memory.h"
#include "base/nearest.h"
#include "base/utf8.h"
#include "papers.h"
#include "questions/dried.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* --- what is loaded from -------------------------------------------------------------------- */

struct loading {
    const struct kept_filter *filter;
    struct inventory_inks inks;
    struct inventory_readings readings;
    const struct inventory_reading **passed; /* those the filter lets pass, by ink and swatch */
    size_t passed_count;
    struct papers papers;
    struct drying_set drying;
    struct observation *observations; /* room for one ink's */
};

static int compare_ids(int64_t a, int64_t b)
{
    return (a > b) - (a < b);
}

static int by_ink_and_swatch(const void *left, const void *right)
{
    const struct inventory_reading *const *a = left, *const *b = right;
    int order = strcmp((*a)->ink, (*b)->ink);

    if (!order)
        order = compare_ids((*a)->swatch_id, (*b)->swatch_id);
    return order ? order : (*a > *b) - (*a < *b);
}

static enum status list_passed(struct loading *loading, struct error *error)
{
    loading->passed =
        memory_array(loading->readings.count, sizeof *loading->passed, "the readings", error);
    if (!loading->passed)
        return error->status;
    for (size_t i = 0; i < loading->readings.count; i++)
        if (kept_passes(loading->filter, &loading->readings.items[i]))
            loading->passed[loading->passed_count++] = &loading->readings.items[i];
    if (loading->passed_count)
        qsort(loading->passed, loading->passed_count, sizeof *loading->passed, by_ink_and_swatch);
    return STATUS_OK;
}

/* --- drying --------------------------------------------------------------------------------- */

static bool same_swatch(const struct loading *loading, size_t a, size_t b)
{
    return a < loading->passed_count && b < loading->passed_count &&
           loading->passed[a]->swatch_id == loading->passed[b]->swatch_id;
}

/* The dry end of a swatch's fit stands in for a reading: its photos' shared error comes on top. */
static struct observation dry_end(const struct drying_set *set, const struct drying_swatch *swatch)
{
    struct observation end = set->readings[swatch->first + swatch->count - 1];

    end.lab = swatch->drying.dry;
    end.dry_end = true;
    memcpy(end.covariance_own, swatch->drying.covariance_dry, sizeof end.covariance_own);
    return end;
}

/* --- one ink -------------------------------------------------------------------------------- */

/* The readings of one ink. */
struct slice {
    size_t from;
    size_t count;
};

static struct slice slice_of_ink(const struct loading *loading, const char *name)
{
    size_t low = 0, high = loading->passed_count;
    struct slice slice;

    while (low < high) {
        size_t middle = (low + high) / 2;

        if (strcmp(loading->passed[middle]->ink, name) < 0)
            low = middle + 1;
        else
            high = middle;
    }
    slice = (struct slice){low, 0};
    while (low + slice.count < loading->passed_count &&
           strcmp(loading->passed[low + slice.count]->ink, name) == 0)
        slice.count++;
    return slice;
}

/* Nobody told when the swatch was made, but it was there at its first reading: a day later it is
 * dry. */
static void note_least_age(const struct loading *loading, size_t place, size_t first,
                           struct observation *observation)
{
    const struct photo_time *from = &loading->passed[first]->taken;

    if (observation->inked_known || !same_swatch(loading, first, place) ||
        from->source == PHOTO_TIME_NONE || !observation->taken_known ||
        observation->taken_s - from->utc_seconds < SETTLED_AGE_S)
        return;
    observation->inked_known = true;
    observation->inked_s = from->utc_seconds;
}

/* Add a reading, and behind the last of its swatch the dry end if a fit tells it; `first` is the
 * place of the swatch's first reading. */
static size_t add_reading(const struct loading *loading, size_t place, size_t first, size_t count)
{
    const struct inventory_reading *kept = loading->passed[place];
    const struct drying_swatch *swatch = dried_find(&loading->drying, kept->swatch_id);
    struct observation *observation = &loading->observations[count];
    int64_t settled_s = 0;
    bool known = swatch && dried_settled_from(&swatch->drying, &settled_s);

    *observation = kept_observation(kept);
    observation->paper = papers_number(&loading->papers, kept->paper);
    observation->reading = (int64_t)place;
    observation->settled_known = known;
    observation->settled_s = settled_s;
    note_least_age(loading, place, first, observation);
    count += !kept->superseded;
    if (known && !same_swatch(loading, place, place + 1)) {
        loading->observations[count] = dry_end(&loading->drying, swatch);
        loading->observations[count].paper = papers_number(&loading->papers, kept->paper);
        loading->observations[count++].reading = (int64_t)place;
    }
    return count;
}

/* What an ink's colour was read on and of, and what else its readings tell. */
static void note_facts(const struct loading *loading, size_t observations, struct range_ink *ink,
                       struct range_facts *facts)
{
    const struct inventory_reading *last = NULL;

    for (size_t i = 0; i < observations; i++) {
        const struct inventory_reading *kept = loading->passed[loading->observations[i].reading];

        if (!loading->observations[i].counted)
            continue;
        facts->flags |= kept->reading.flags;
        last = !last || kept > last ? kept : last;
    }
    if (!last)
        return;
    facts->taken = last->taken;
    snprintf(ink->paper, sizeof ink->paper, "%s", last->paper ? last->paper : "");
    snprintf(ink->batch, sizeof ink->batch, "%s", last->batch ? last->batch : "");
}

/* Keep which readings went into the colour. */
static void list_counted(const struct loading *loading, size_t observations, struct range *range)
{
    for (size_t i = 0; i < observations; i++)
        if (loading->observations[i].counted)
            range->counted[range->counted_count++] =
                loading->passed[loading->observations[i].reading]->id;
}

static void load_ink(const struct loading *loading, const char *name, struct range *range)
{
    struct range_ink *ink = &range->inks[range->count];
    struct range_facts *facts = &range->facts[range->count];
    struct slice slice = slice_of_ink(loading, name);
    size_t count = 0, first = slice.from;

    memset(ink, 0, sizeof *ink);
    memset(facts, 0, sizeof *facts);
    snprintf(ink->name, sizeof ink->name, "%s", name);
    facts->readings = (int)slice.count;
    for (size_t i = slice.from; i < slice.from + slice.count; i++) {
        if (i == slice.from || !same_swatch(loading, i, first)) {
            first = i;
            facts->swatches++;
        }
        count = add_reading(loading, i, first, count);
    }
    settled_colour(loading->observations, count, ink);
    note_facts(loading, count, ink, facts);
    list_counted(loading, count, range);
}

/* --- all ------------------------------------------------------------------------------------ */

static int by_id(const void *left, const void *right)
{
    return compare_ids(*(const int64_t *)left, *(const int64_t *)right);
}

static bool is_filtered(const struct kept_filter *filter)
{
    return filter && (filter->ink || filter->batch || filter->paper || filter->chart);
}

static void load_inks(const struct loading *loading, struct range *range)
{
    for (size_t i = 0; i < loading->inks.count; i++) {
        load_ink(loading, loading->inks.items[i].name, range);
        if (range->inks[range->count].basis != COLOUR_NONE || !is_filtered(loading->filter))
            range->count++;
    }
    if (range->counted_count)
        qsort(range->counted, range->counted_count, sizeof *range->counted, by_id);
}

static enum status make_room(struct loading *loading, struct range *range, struct error *error)
{
    /* each swatch may add a dry end to its readings */
    loading->observations = memory_array(2 * loading->readings.count, sizeof *loading->observations,
                                         "the readings", error);
    range->inks = memory_array(loading->inks.count + 1, sizeof *range->inks, "the range", error);
    range->facts = memory_array(loading->inks.count + 1, sizeof *range->facts, "the range", error);
    range->counted = memory_array(2 * loading->readings.count, sizeof *range->counted,
                                  "the readings that count", error);
    return loading->observations && range->inks && range->facts && range->counted ? STATUS_OK
                                                                                  : error->status;
}

enum status range_load(struct inventory *inventory, const struct kept_filter *filter,
                       struct range *range, struct error *error)
{
    struct loading loading = {.filter = filter};
    const struct dried_question question = {filter, .fits_only = true};
    enum status status = inventory_read_names(inventory, &loading.inks, error);

    memset(range, 0, sizeof *range);
    if (!status)
        status = inventory_read_readings(inventory, NULL, &loading.readings, error);
    if (!status) {
        loading.papers = papers_of(&loading.readings);
        status = list_passed(&loading, error);
    }
    if (!status)
        status = dried_load(&loading.readings, &question, &loading.drying, error);
    if (!status)
        status = make_room(&loading, range, error);
    if (!status)
        load_inks(&loading, range);
    if (status)
        range_release(range);
    free(loading.observations);
    free(loading.passed);
    dried_release(&loading.drying);
    inventory_readings_release(&loading.readings);
    inventory_inks_release(&loading.inks);
    return status;
}

void range_release(struct range *range)
{
    free(range->inks);
    free(range->facts);
    free(range->counted);
    memset(range, 0, sizeof *range);
}

enum status range_find(const struct range *range, const char *name, const struct range_ink **ink,
                       struct error *error)
{
    struct nearest nearest = nearest_start(name);

    for (size_t i = 0; i < range->count; i++) {
        *ink = &range->inks[i];
        if (utf8_same((*ink)->name, name))
            return STATUS_OK;
        nearest_offer(&nearest, (*ink)->name);
    }
    return kept_no_such_ink(name, nearest.best, error);
}

bool range_counts(const struct range *range, int64_t reading)
{
    return range->counted_count && bsearch(&reading, range->counted, range->counted_count,
                                           sizeof *range->counted, by_id) != NULL;
}
