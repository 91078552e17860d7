#include "commands/range_load.h"

#include "analysis/settled.h"
#include "base/memory.h"
#include "base/nearest.h"

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
    struct observation *observations;
};

/* The paper under the swatch the colour is from; empty if nobody told. */
static void note_paper(const struct loading *loading, struct range_ink *ink)
{
    for (size_t i = 0; i < loading->readings.count; i++) {
        const struct inventory_reading *kept = &loading->readings.items[i];

        if (kept->photo_id != ink->photo || !kept->paper || !kept->ink ||
            strcmp(kept->ink, ink->name) != 0 || !range_lets_pass(loading->filter, kept))
            continue;
        snprintf(ink->paper, sizeof ink->paper, "%s", kept->paper);
    }
}

static enum status load_ink(const struct loading *loading, const char *name, struct range_ink *ink,
                            struct error *error)
{
    size_t count = 0;
    enum status status;

    memset(ink, 0, sizeof *ink);
    snprintf(ink->name, sizeof ink->name, "%s", name);
    for (size_t i = 0; i < loading->readings.count; i++) {
        const struct inventory_reading *kept = &loading->readings.items[i];

        if (range_lets_pass(loading->filter, kept) && strcmp(kept->ink, name) == 0)
            loading->observations[count++] = range_observation(kept);
    }
    status = settled_colour(loading->observations, count, ink, error);
    if (!status)
        note_paper(loading, ink);
    return status;
}

/* --- all ------------------------------------------------------------------------------------ */

static bool is_filtered(const struct range_filter *filter)
{
    return filter && (filter->ink || filter->batch || filter->paper || filter->chart);
}

static enum status load_inks(const struct loading *loading, struct range *range,
                             struct error *error)
{
    enum status status = STATUS_OK;

    range->inks = memory_array(loading->inks.count, sizeof *range->inks, "the range", error);
    if (!range->inks)
        return error->status;
    for (size_t i = 0; !status && i < loading->inks.count; i++) {
        struct range_ink *ink = &range->inks[range->count];

        status = load_ink(loading, loading->inks.items[i].name, ink, error);
        if (ink->basis != COLOUR_NONE || !is_filtered(loading->filter))
            range->count++;
    }
    return status;
}

enum status range_load(struct inventory *inventory, const struct range_filter *filter,
                       struct range *range, struct error *error)
{
    struct loading loading = {.filter = filter};
    enum status status = inventory_read_inks(inventory, &loading.inks, error);

    memset(range, 0, sizeof *range);
    if (!status)
        status = inventory_read_readings(inventory, filter ? filter->ink : NULL, &loading.readings,
                                         error);
    if (!status) {
        loading.observations = memory_array(loading.readings.count, sizeof *loading.observations,
                                            "the readings", error);
        status = loading.observations ? load_inks(&loading, range, error) : error->status;
    }
    if (status)
        range_release(range);
    free(loading.observations);
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
    if (nearest.best)
        return error_set(error, STATUS_INVENTORY,
                         "the inventory holds no ink '%.120s'; did you mean '%s'?", name,
                         nearest.best);
    return error_set(error, STATUS_INVENTORY,
                     "the inventory holds no ink '%.120s'; 'woad inks' lists those it holds", name);
}
