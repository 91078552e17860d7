#include "questions/overview.h"

#include "analysis/near.h"
#include "base/memory.h"

#include <stdlib.h>

static enum status find_standins(const struct measured_range *measured, const size_t *places,
                                 struct overview_ink *entry, struct error *error)
{
    const struct near_wish wish = {NEAR_CLOSE, OVERVIEW_STANDINS};
    struct near_matches matches = {0};
    enum status status =
        near_find(entry->ink, measured->inks, measured->count, &wish, &matches, error);

    for (size_t i = 0; !status && i < matches.count; i++) {
        if (i && matches.items[i].delta_e.measured > OVERVIEW_WITHIN)
            break;
        entry->standins[entry->standin_count++] =
            (struct overview_standin){places[matches.items[i].second], matches.items[i].delta_e};
    }
    near_release(&matches);
    return status;
}

/* `places` becomes where in colour order each ink of the range stands. */
static enum status fill(struct overview *overview, size_t *places, struct error *error)
{
    const struct ordered_range *ordered = &overview->ordered;
    enum status status = STATUS_OK;

    for (size_t i = 0; i < ordered->order.count; i++)
        places[ordered->order.inks[i]] = i;
    for (size_t i = 0; !status && i < ordered->order.count; i++) {
        size_t ink = ordered->order.inks[i];
        struct overview_ink *entry = &overview->inks[overview->count++];

        entry->ink = &ordered->measured.inks[ink];
        entry->family = ordered->families.of_ink[ink];
        status = find_standins(&ordered->measured, places, entry, error);
    }
    return status;
}

enum status overview_load(const char *given, const char *families, struct overview *overview,
                          struct error *error)
{
    size_t *places = NULL;
    enum status status;

    *overview = (struct overview){.count = 0};
    status = ordered_range_load(given, families, &overview->ordered, error);
    if (status)
        return status;
    overview->inks =
        memory_array(overview->ordered.order.count, sizeof *overview->inks, "the range", error);
    places = memory_array(overview->ordered.order.count, sizeof *places, "the range", error);
    status = overview->inks && places ? fill(overview, places, error) : error->status;
    free(places);
    return status;
}

void overview_release(struct overview *overview)
{
    free(overview->inks);
    ordered_range_release(&overview->ordered);
    *overview = (struct overview){.count = 0};
}
