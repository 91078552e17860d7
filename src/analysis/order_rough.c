#include "analysis/order.h"

#include "base/memory.h"

#include <stdlib.h>
#include <string.h>

/* An ink with all that its place depends on. */
struct placed {
    size_t ink;
    size_t family;
    double lightness;
};

/* Inks of one lightness stay as they stood. */
static int compare_placed(const void *a, const void *b)
{
    const struct placed *first = a, *second = b;

    if (first->family != second->family)
        return first->family < second->family ? -1 : 1;
    if (first->lightness != second->lightness)
        return first->lightness > second->lightness ? -1 : 1;
    return (first->ink > second->ink) - (first->ink < second->ink);
}

enum status order_roughly(const struct order_task *task, struct order *order, struct error *error)
{
    struct placed *placed = memory_array(task->count, sizeof *placed, "an order", error);

    *order = (struct order){.count = 0};
    order->inks = memory_array(task->count, sizeof *order->inks, "an order", error);
    order->families = memory_array(task->families, sizeof *order->families, "an order", error);
    if (!placed || !order->inks || !order->families) {
        order_release(order);
        free(placed);
        return STATUS_MEMORY;
    }
    for (size_t i = 0; i < task->count; i++)
        placed[i] = (struct placed){i, task->family[i], task->inks[i].lab.L};
    qsort(placed, task->count, sizeof *placed, compare_placed);
    order->family_count = task->families;
    for (; order->count < task->count; order->count++) {
        struct order_family *family = &order->families[placed[order->count].family];

        if (!family->count++)
            family->first = order->count;
        order->inks[order->count] = placed[order->count].ink;
    }
    free(placed);
    return STATUS_OK;
}
