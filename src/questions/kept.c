#include "questions/kept.h"

#include "base/nearest.h"
#include "base/utf8.h"

#include <string.h>

#define FAULTS (FLAG_CLIPPED | FLAG_GLARE | FLAG_SHADOW | FLAG_UNEVEN | FLAG_SMALL)

static bool matches(const char *wanted, const char *there)
{
    return !wanted || (there && utf8_same(wanted, there));
}

bool kept_passes(const struct kept_filter *filter, const struct inventory_reading *kept)
{
    if (kept->reading.found != CELL_INK || !kept->ink)
        return false;
    return !filter || (matches(filter->ink, kept->ink) && matches(filter->batch, kept->batch) &&
                       matches(filter->paper, kept->paper) && matches(filter->chart, kept->chart));
}

struct observation kept_observation(const struct inventory_reading *kept)
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

enum status kept_no_such_ink(const char *name, const char *near, struct error *error)
{
    if (near)
        return error_set(error, STATUS_INVENTORY,
                         "the inventory holds no ink '%.120s'; did you mean '%s'?", name, near);
    return error_set(error, STATUS_INVENTORY,
                     "the inventory holds no ink '%.120s'; 'woad inks' lists those it holds", name);
}

enum status kept_check_ink(struct inventory *inventory, const char *name, struct error *error)
{
    struct nearest nearest = nearest_start(name);
    struct inventory_inks inks = {0};
    enum status status = inventory_read_names(inventory, &inks, error);
    bool found = false;

    for (size_t i = 0; !status && i < inks.count; i++) {
        found = found || utf8_same(inks.items[i].name, name);
        nearest_offer(&nearest, inks.items[i].name);
    }
    if (!status && !found)
        status = kept_no_such_ink(name, nearest.best, error);
    inventory_inks_release(&inks);
    return status;
}
