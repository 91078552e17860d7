#include "questions/range_load.h"

#include "analysis/settled.h"
#include "base/memory.h"
#include "base/nearest.h"
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

/* Add a reading, and behind the last of its swatch the dry end if a fit tells it. */
static size_t add_reading(const struct loading *loading, size_t place, size_t count)
{
    const struct inventory_reading *kept = loading->passed[place];
    const struct drying_swatch *swatch = dried_find(&loading->drying, kept->swatch_id);
    struct observation *observation = &loading->observations[count++];
    int64_t settled_s = 0;
    bool known = swatch && dried_settled_from(&swatch->drying, &settled_s);

    *observation = kept_observation(kept);
    observation->settled_known = known;
    observation->settled_s = settled_s;
    if (known && !same_swatch(loading, place, place + 1))
        loading->observations[count++] = dry_end(&loading->drying, swatch);
    return count;
}

/* The paper under the swatch the colour is from, as told last; empty if nobody told. */
static void note_paper(const struct loading *loading, struct slice slice, struct range_ink *ink)
{
    const struct inventory_reading *last = NULL;

    for (size_t i = slice.from; i < slice.from + slice.count; i++) {
        const struct inventory_reading *kept = loading->passed[i];

        if (kept->paper && (!ink->photo || kept->photo_id == ink->photo) && (!last || kept > last))
            last = kept;
    }
    if (last)
        snprintf(ink->paper, sizeof ink->paper, "%s", last->paper);
}

static void load_ink(const struct loading *loading, const char *name, struct range_ink *ink)
{
    struct slice slice = slice_of_ink(loading, name);
    size_t count = 0;

    memset(ink, 0, sizeof *ink);
    snprintf(ink->name, sizeof ink->name, "%s", name);
    for (size_t i = slice.from; i < slice.from + slice.count; i++)
        count = add_reading(loading, i, count);
    settled_colour(loading->observations, count, ink);
    note_paper(loading, slice, ink);
}

/* --- all ------------------------------------------------------------------------------------ */

static bool is_filtered(const struct kept_filter *filter)
{
    return filter && (filter->ink || filter->batch || filter->paper || filter->chart);
}

static void load_inks(const struct loading *loading, struct range *range)
{
    for (size_t i = 0; i < loading->inks.count; i++) {
        struct range_ink *ink = &range->inks[range->count];

        load_ink(loading, loading->inks.items[i].name, ink);
        if (ink->basis != COLOUR_NONE || !is_filtered(loading->filter))
            range->count++;
    }
}

static enum status make_room(struct loading *loading, struct range *range, struct error *error)
{
    /* each swatch may add a dry end to its readings */
    loading->observations = memory_array(2 * loading->readings.count, sizeof *loading->observations,
                                         "the readings", error);
    range->inks = memory_array(loading->inks.count + 1, sizeof *range->inks, "the range", error);
    return loading->observations && range->inks ? STATUS_OK : error->status;
}

enum status range_load(struct inventory *inventory, const struct kept_filter *filter,
                       struct range *range, struct error *error)
{
    struct loading loading = {.filter = filter};
    const struct dried_question question = {filter, .again_only = true};
    enum status status = inventory_read_names(inventory, &loading.inks, error);

    memset(range, 0, sizeof *range);
    if (!status)
        status = inventory_read_readings(inventory, NULL, &loading.readings, error);
    if (!status)
        status = list_passed(&loading, error);
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
    memset(range, 0, sizeof *range);
}

enum status range_find(const struct range *range, const char *name, const struct range_ink **ink,
                       struct error *error)
{
    struct nearest nearest = nearest_start(name);

    for (size_t i = 0; i < range->count; i++) {
        *ink = &range->inks[i];
        if (strcmp((*ink)->name, name) == 0)
            return STATUS_OK;
        nearest_offer(&nearest, (*ink)->name);
    }
    return kept_no_such_ink(name, nearest.best, error);
}
