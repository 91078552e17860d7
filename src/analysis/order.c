#include "analysis/order.h"

#include "base/memory.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

void order_release(struct order *order)
{
    free(order->inks);
    free(order->families);
    memset(order, 0, sizeof *order);
}

static double step_between(const struct order_task *task, size_t a, size_t b)
{
    return colour_delta_e_2000(task->inks[a].lab, task->inks[b].lab);
}

/* --- one family ----------------------------------------------------------------------------- */

/* Room for the largest family. */
struct arranging {
    const struct order_task *task;
    double *distance;
    size_t *visit;
    size_t *members;
};

static size_t gather(const struct order_task *task, size_t family, size_t *members)
{
    size_t count = 0;

    for (size_t i = 0; i < task->count; i++)
        if (task->family[i] == family)
            members[count++] = i;
    return count;
}

static enum status arrange_family(struct arranging *arranging, size_t family, struct order *order,
                                  struct error *error)
{
    struct order_family *arranged = &order->families[family];
    size_t count = gather(arranging->task, family, arranging->members);
    enum status status;

    for (size_t i = 0; i < count; i++)
        for (size_t j = 0; j < count; j++)
            arranging->distance[i * count + j] =
                i == j
                    ? 0
                    : step_between(arranging->task, arranging->members[i], arranging->members[j]);
    *arranged = (struct order_family){.first = order->count, .count = count};
    status = path_shortest(arranging->distance, count, arranging->visit, &arranged->path, error);
    for (size_t i = 0; !status && i < count; i++)
        order->inks[order->count++] = arranging->members[arranging->visit[i]];
    return status;
}

/* --- families one after the other ----------------------------------------------------------- */

/* The ink that a family begins or ends with, as it stands or turned round. */
static size_t end_of(const struct order *order, size_t family, bool turned, bool last)
{
    const struct order_family *arranged = &order->families[family];

    return order->inks[arranged->first + (turned != last ? arranged->count - 1 : 0)];
}

static void turn_family(struct order *order, size_t family)
{
    size_t *inks = order->inks + order->families[family].first;

    for (size_t i = 0, j = order->families[family].count - 1; i < j; i++, j--) {
        size_t kept = inks[i];

        inks[i] = inks[j];
        inks[j] = kept;
    }
}

/* The families that have inks. */
static size_t list_present(const struct order *order, size_t *present)
{
    size_t count = 0;

    for (size_t i = 0; i < order->family_count; i++)
        if (order->families[i].count)
            present[count++] = i;
    return count;
}

/*
 * The steps between families are shortest by dynamic programming: what the
 * steps so far come to at least, with the family last taken straight or turned.
 */
static void turn_families(const struct order_task *task, struct order *order, size_t *present,
                          bool *from_turned)
{
    size_t count = list_present(order, present);
    double least[2] = {0, 0};
    bool turned;

    for (size_t k = 1; k < count; k++) {
        double next[2] = {HUGE_VAL, HUGE_VAL};

        for (int now = 0; now < 2; now++)
            for (int before = 0; before < 2; before++) {
                double length =
                    least[before] + step_between(task, end_of(order, present[k - 1], before, true),
                                                 end_of(order, present[k], now, false));

                if (length < next[now]) {
                    next[now] = length;
                    from_turned[2 * k + (size_t)now] = before;
                }
            }
        memcpy(least, next, sizeof least);
    }
    turned = least[1] < least[0];
    for (size_t k = count; k-- > 0;) {
        bool before = k ? from_turned[2 * k + turned] : false;

        if (turned)
            turn_family(order, present[k]);
        turned = before;
    }
}

static enum status arranging_create(const struct order_task *task, struct arranging *arranging,
                                    struct error *error)
{
    size_t largest = 1;

    arranging->task = task;
    arranging->members = memory_array(task->count, sizeof *arranging->members, "an order", error);
    if (!arranging->members)
        return error->status;
    for (size_t family = 0; family < task->families; family++) {
        size_t count = gather(task, family, arranging->members);

        largest = count > largest ? count : largest;
    }
    arranging->visit = memory_array(largest, sizeof *arranging->visit, "an order", error);
    arranging->distance =
        memory_array(largest * largest, sizeof *arranging->distance, "an order", error);
    return arranging->visit && arranging->distance ? STATUS_OK : error->status;
}

static enum status order_create(const struct order_task *task, struct order *order,
                                struct error *error)
{
    memset(order, 0, sizeof *order);
    if (task->count > ORDER_INKS_MAX)
        return error_set(error, STATUS_USAGE,
                         "%zu inks are to be ordered, at most %d can be; part the range",
                         task->count, ORDER_INKS_MAX);
    order->family_count = task->families;
    order->inks = memory_array(task->count, sizeof *order->inks, "an order", error);
    order->families = memory_array(task->families, sizeof *order->families, "an order", error);
    return order->inks && order->families ? STATUS_OK : error->status;
}

enum status order_arrange(const struct order_task *task, struct order *order, struct error *error)
{
    struct arranging arranging = {0};
    bool *from_turned = memory_array(2 * task->families, sizeof *from_turned, "an order", error);
    size_t *present = memory_array(task->families, sizeof *present, "an order", error);
    enum status status = order_create(task, order, error);

    if (!status)
        status = from_turned && present ? STATUS_OK : STATUS_MEMORY;
    if (!status)
        status = arranging_create(task, &arranging, error);
    for (size_t family = 0; !status && family < task->families; family++)
        status = arrange_family(&arranging, family, order, error);
    if (!status)
        turn_families(task, order, present, from_turned);
    for (size_t i = 0; !status && i + 1 < order->count; i++)
        order->length += step_between(task, order->inks[i], order->inks[i + 1]);
    free(arranging.distance);
    free(arranging.visit);
    free(arranging.members);
    free(present);
    free(from_turned);
    if (status)
        order_release(order);
    return status;
}
