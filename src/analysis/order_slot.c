#include "analysis/order.h"

#include <math.h>
#include <stdlib.h>

/* Today's cells, and the ink that is to go among them. */
struct slotting {
    const struct order_task *task;
    const long *cells;
    size_t count;
    size_t ink;
};

/* The nearest ink with a colour before a place, or from it on. */
static long neighbour(const struct slotting *slotting, size_t at, bool before)
{
    if (before) {
        while (at > 0)
            if (slotting->cells[--at] >= 0)
                return slotting->cells[at];
        return -1;
    }
    for (; at < slotting->count; at++)
        if (slotting->cells[at] >= 0)
            return slotting->cells[at];
    return -1;
}

static double step(const struct slotting *slotting, long a, long b)
{
    const struct range_ink *inks = slotting->task->inks;

    return a < 0 || b < 0 ? 0 : colour_delta_e_2000(inks[a].lab, inks[b].lab);
}

static bool is_kin(const struct slotting *slotting, long ink)
{
    return ink >= 0 && slotting->task->family[ink] == slotting->task->family[slotting->ink];
}

static bool has_kin(const struct slotting *slotting)
{
    for (size_t i = 0; i < slotting->count; i++)
        if (is_kin(slotting, slotting->cells[i]))
            return true;
    return false;
}

/* The nearest blank cell on either side of the gap before `at`, if any. */
static size_t nearest_blank(const struct slotting *slotting, size_t at)
{
    size_t best = slotting->count, fewest = SIZE_MAX;

    for (size_t i = 0; i < slotting->count; i++) {
        size_t moves = i >= at ? i - at : at - 1 - i;

        if (slotting->cells[i] == ORDER_BLANK && moves < fewest) {
            best = i;
            fewest = moves;
        }
    }
    return best;
}

/* How it would be to go into the gap before cell `at`. */
static struct order_slot slot_before(const struct slotting *slotting, size_t at)
{
    long ink = (long)slotting->ink;
    struct order_slot slot = {.at = at,
                              .before = neighbour(slotting, at, true),
                              .after = neighbour(slotting, at, false),
                              .blank = nearest_blank(slotting, at),
                              .blank_at = slotting->count,
                              .blank_detour = HUGE_VAL};

    slot.detour = step(slotting, slot.before, ink) + step(slotting, ink, slot.after) -
                  step(slotting, slot.before, slot.after);
    slot.moves = slot.blank >= at ? slot.blank - at : at - 1 - slot.blank;
    /* a blank before the gap takes its neighbours' moves downwards, and the ink follows them */
    if (slot.blank < at)
        slot.at = at - 1;
    return slot;
}

/* The same gap may be reached over several blank cells: fewer moves decide. */
static bool is_better(const struct order_slot *slot, const struct order_slot *best)
{
    if (fabs(slot->detour - best->detour) > 1e-9)
        return slot->detour < best->detour;
    return slot->moves < best->moves;
}

struct order_slot order_find_slot(const struct order_task *task, const long *cells, size_t count,
                                  size_t ink)
{
    const struct slotting slotting = {task, cells, count, ink};
    struct order_slot best = {.at = count, .detour = HUGE_VAL, .before = -1, .after = -1};
    double blank_detour = HUGE_VAL;
    size_t blank_at = count;
    bool kin = has_kin(&slotting);

    for (size_t at = 0; at <= count; at++) {
        struct order_slot slot = slot_before(&slotting, at);

        if (kin && !is_kin(&slotting, slot.before) && !is_kin(&slotting, slot.after))
            continue;
        if (slot.moves == 0 && slot.blank < count && slot.detour < blank_detour) {
            blank_detour = slot.detour;
            blank_at = slot.blank;
        }
        if (is_better(&slot, &best))
            best = slot;
    }
    best.blank_detour = blank_detour;
    best.blank_at = blank_at;
    return best;
}

void order_apply_slot(const struct order_slot *slot, const long *cells, size_t count, long ink,
                      long *slotted)
{
    for (size_t i = 0; i < count; i++)
        slotted[i] = cells[i];
    slotted[count] = ORDER_BLANK;
    for (size_t i = slot->blank; i > slot->at; i--)
        slotted[i] = slotted[i - 1];
    for (size_t i = slot->blank; i < slot->at; i++)
        slotted[i] = slotted[i + 1];
    slotted[slot->at] = ink;
}
