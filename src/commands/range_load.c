#include "commands/range_load.h"

#include "analysis/settled.h"
#include "base/memory.h"
#include "base/nearest.h"
#include "commands/drying_load.h"

#include <math.h>
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

/* --- one ink -------------------------------------------------------------------------------- */

/* What is loaded from, and room for one ink's observations. */
struct loading {
    const struct range_filter *filter;
    struct inventory_inks inks;
    struct inventory_readings readings;
    struct drying_set drying;
    struct observation *observations;
};

/* From when on a swatch is dry, if its fit bounds that. */
static bool settled_from(const struct drying *drying, int64_t *settled_s)
{
    bool told = drying->fitted && isfinite(drying->settled_s.high) &&
                (drying->state == DRYING_SETTLED || drying->state == DRYING_WET ||
                 (drying->state == DRYING_FADING && drying->settled_s.high > 0));

    *settled_s = told ? drying->origin_s + (int64_t)drying->settled_s.high : 0;
    return told;
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

/* The readings of one swatch, and the dry end if they are not dry yet. */
static size_t add_swatch(const struct loading *loading, const struct drying_swatch *swatch,
                         size_t count)
{
    struct observation *observations = loading->observations;
    int64_t settled_s;
    bool settled_known = settled_from(&swatch->drying, &settled_s);

    for (size_t i = 0; i < loading->readings.count; i++) {
        const struct inventory_reading *kept = &loading->readings.items[i];

        if (kept->swatch_id != swatch->kept->swatch_id || !range_lets_pass(loading->filter, kept))
            continue;
        observations[count] = range_observation(kept);
        observations[count].settled_known = settled_known;
        observations[count++].settled_s = settled_s;
    }
    if (settled_known)
        observations[count++] = dry_end(&loading->drying, swatch);
    return count;
}

/* The paper under the swatch the colour is from; empty if nobody told. */
static void note_paper(const struct loading *loading, struct range_ink *ink)
{
    for (size_t i = 0; i < loading->readings.count; i++) {
        const struct inventory_reading *kept = &loading->readings.items[i];

        if ((ink->photo && kept->photo_id != ink->photo) || !kept->paper ||
            !range_lets_pass(loading->filter, kept) || strcmp(kept->ink, ink->name) != 0)
            continue;
        snprintf(ink->paper, sizeof ink->paper, "%s", kept->paper);
    }
}

static void load_ink(const struct loading *loading, const char *name, struct range_ink *ink)
{
    size_t count = 0;

    memset(ink, 0, sizeof *ink);
    snprintf(ink->name, sizeof ink->name, "%s", name);
    for (size_t i = 0; i < loading->drying.count; i++)
        if (strcmp(loading->drying.swatches[i].kept->ink, name) == 0)
            count = add_swatch(loading, &loading->drying.swatches[i], count);
    settled_colour(loading->observations, count, ink);
    note_paper(loading, ink);
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
    enum status status = inventory_read_inks(inventory, &loading.inks, error);

    memset(range, 0, sizeof *range);
    if (!status)
        status = inventory_read_readings(inventory, NULL, &loading.readings, error);
    if (!status)
        status = drying_load(&loading.readings, filter, &loading.drying, error);
    if (!status)
        status = make_room(&loading, range, error);
    if (!status)
        load_inks(&loading, range);
    if (status)
        range_release(range);
    free(loading.observations);
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
