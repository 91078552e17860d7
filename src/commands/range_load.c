#include "range_load.h"

#include "analysis/settled.h"
#include "base/memory.h"
#include "base/nearest.h"
#include "drying_load.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define FAULTS (FLAG_CLIPPED | FLAG_GLARE | FLAG_SHADOW | FLAG_UNEVEN | FLAG_SMALL)

static bool matches(const char *wanted, const char *there)
{
    return !wanted || (there && strcmp(wanted, there) == 0);
}

bool range_lets_pass(const struct range_filter *filter, const struct inventory_reading *kept)
{
    if (kept->reading.found != CELL_INK || !kept->ink)
        return false;
    return !filter || (matches(filter->ink, kept->ink) && matches(filter->batch, kept->batch) &&
                       matches(filter->paper, kept->paper) && matches(filter->chart, kept->chart));
}

struct observation range_observation(const struct inventory_reading *kept)
{
    struct observation observation = {
        .lab = kept->reading.lab,
        .u95 = kept->reading.u95,
        .photo = kept->photo_id,
        .swatch = kept->swatch_id,
        .batch = kept->batch_id,
        .taken_known = kept->taken.source != PHOTO_TIME_NONE,
        .inked_known = kept->inked_at.source != PHOTO_TIME_NONE,
        .taken_s = kept->taken.utc_seconds,
        .inked_s = kept->inked_at.utc_seconds,
        .faulty = (kept->reading.flags & FAULTS) != 0,
    };

    memcpy(observation.covariance_shared, kept->reading.covariance_shared,
           sizeof observation.covariance_shared);
    memcpy(observation.covariance_own, kept->reading.covariance_own,
           sizeof observation.covariance_own);
    return observation;
}

/* --- what is loaded from -------------------------------------------------------------------- */

struct loading {
    const struct range_filter *filter;
    struct inventory_inks inks;
    struct inventory_readings readings;
    const struct inventory_reading **passed; /* those the filter lets pass, by ink and swatch */
    size_t passed_count;
    struct inventory_readings followed; /* borrowed; what drying can be told from */
    struct drying_set drying;
    const struct drying_swatch **dried; /* the swatches of `drying` by their id */
    struct observation *observations;   /* room for one ink's */
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
        if (range_lets_pass(loading->filter, &loading->readings.items[i]))
            loading->passed[loading->passed_count++] = &loading->readings.items[i];
    if (loading->passed_count)
        qsort(loading->passed, loading->passed_count, sizeof *loading->passed, by_ink_and_swatch);
    return STATUS_OK;
}

/* --- drying --------------------------------------------------------------------------------- */

static int by_id(const void *left, const void *right)
{
    const int64_t *a = left, *b = right;

    return compare_ids(*a, *b);
}

static bool same_swatch(const struct loading *loading, size_t a, size_t b)
{
    return a < loading->passed_count && b < loading->passed_count &&
           loading->passed[a]->swatch_id == loading->passed[b]->swatch_id;
}

/* The photos of swatches that were read more than once, each as often as they were. */
static size_t list_photos(const struct loading *loading, int64_t *photos)
{
    size_t count = 0;

    for (size_t i = 0; i < loading->passed_count; i++)
        if (same_swatch(loading, i, i + 1) || (i && same_swatch(loading, i, i - 1)))
            photos[count++] = loading->passed[i]->photo_id;
    if (count)
        qsort(photos, count, sizeof *photos, by_id);
    return count;
}

/* One reading alone tells nothing of drying, and most ranges are large: only the photos of
 * swatches that were read again are followed, with all that is in them. */
static enum status list_followed(struct loading *loading, struct error *error)
{
    int64_t *photos = memory_array(loading->passed_count, sizeof *photos, "the photos", error);
    size_t count;

    loading->followed.items = memory_array(loading->readings.count, sizeof *loading->followed.items,
                                           "the readings", error);
    if (!photos || !loading->followed.items) {
        free(photos);
        return error->status;
    }
    count = list_photos(loading, photos);
    for (size_t i = 0; count && i < loading->readings.count; i++) {
        int64_t photo = loading->readings.items[i].photo_id;

        if (bsearch(&photo, photos, count, sizeof *photos, by_id))
            loading->followed.items[loading->followed.count++] = loading->readings.items[i];
    }
    free(photos);
    return STATUS_OK;
}

static int by_swatch(const void *left, const void *right)
{
    const struct drying_swatch *const *a = left, *const *b = right;

    return compare_ids((*a)->kept->swatch_id, (*b)->kept->swatch_id);
}

static enum status fit_drying(struct loading *loading, struct error *error)
{
    enum status status = list_followed(loading, error);

    if (!status)
        status = drying_load(&loading->followed, loading->filter, &loading->drying, error);
    if (status)
        return status;
    loading->dried =
        memory_array(loading->drying.count, sizeof *loading->dried, "the swatches", error);
    if (!loading->dried)
        return error->status;
    for (size_t i = 0; i < loading->drying.count; i++)
        loading->dried[i] = &loading->drying.swatches[i];
    if (loading->drying.count)
        qsort(loading->dried, loading->drying.count, sizeof *loading->dried, by_swatch);
    return STATUS_OK;
}

static const struct drying_swatch *find_dried(const struct loading *loading,
                                              const struct inventory_reading *kept)
{
    const struct drying_swatch wanted = {.kept = kept};
    const struct drying_swatch *key = &wanted;
    const struct drying_swatch **found =
        loading->drying.count
            ? bsearch(&key, loading->dried, loading->drying.count, sizeof key, by_swatch)
            : NULL;

    return found ? *found : NULL;
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
    const struct drying_swatch *swatch = find_dried(loading, kept);
    struct observation *observation = &loading->observations[count++];
    int64_t settled_s = 0;
    bool known = swatch && drying_settled_from(&swatch->drying, &settled_s);

    *observation = range_observation(kept);
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

static bool is_filtered(const struct range_filter *filter)
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

enum status range_load(struct inventory *inventory, const struct range_filter *filter,
                       struct range *range, struct error *error)
{
    struct loading loading = {.filter = filter};
    enum status status = inventory_read_names(inventory, &loading.inks, error);

    memset(range, 0, sizeof *range);
    if (!status)
        status = inventory_read_readings(inventory, NULL, &loading.readings, error);
    if (!status)
        status = list_passed(&loading, error);
    if (!status)
        status = fit_drying(&loading, error);
    if (!status)
        status = make_room(&loading, range, error);
    if (!status)
        load_inks(&loading, range);
    if (status)
        range_release(range);
    free(loading.observations);
    free(loading.dried);
    free(loading.followed.items);
    free(loading.passed);
    drying_release(&loading.drying);
    inventory_readings_release(&loading.readings);
    inventory_inks_release(&loading.inks);
    return status;
}

void range_release(struct range *range)
{
    free(range->inks);
    memset(range, 0, sizeof *range);
}

static enum status no_such_ink(const char *name, const struct nearest *nearest, struct error *error)
{
    if (nearest->best)
        return error_set(error, STATUS_INVENTORY,
                         "the inventory holds no ink '%.120s'; did you mean '%s'?", name,
                         nearest->best);
    return error_set(error, STATUS_INVENTORY,
                     "the inventory holds no ink '%.120s'; 'woad inks' lists those it holds", name);
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
    return no_such_ink(name, &nearest, error);
}

enum status range_check_ink(struct inventory *inventory, const char *name, struct error *error)
{
    struct nearest nearest = nearest_start(name);
    struct inventory_inks inks = {0};
    enum status status = inventory_read_inks(inventory, &inks, error);
    bool found = false;

    for (size_t i = 0; !status && i < inks.count; i++) {
        found = found || strcmp(inks.items[i].name, name) == 0;
        nearest_offer(&nearest, inks.items[i].name);
    }
    if (!status && !found)
        status = no_such_ink(name, &nearest, error);
    inventory_inks_release(&inks);
    return status;
}
