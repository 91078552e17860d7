#include "alarms.h"

#include "base/memory.h"

#include <math.h>
#include <stdlib.h>

struct alarm {
    double chance;
    size_t place;
};

static int by_chance(const void *left, const void *right)
{
    const struct alarm *a = left, *b = right;

    return (a->chance > b->chance) - (a->chance < b->chance);
}

enum status alarms_holm(const double *chances, size_t count, double *adjusted, struct error *error)
{
    struct alarm *alarms = memory_array(count, sizeof *alarms, "the tests", error);
    double largest = 0;

    if (!alarms)
        return error->status;
    for (size_t i = 0; i < count; i++)
        alarms[i] = (struct alarm){chances[i], i};
    qsort(alarms, count, sizeof *alarms, by_chance);
    for (size_t i = 0; i < count; i++) {
        largest = fmax(largest, fmin(1, (double)(count - i) * alarms[i].chance));
        adjusted[alarms[i].place] = largest;
    }
    free(alarms);
    return STATUS_OK;
}
