#include "questions/ordered_range.h"

enum status ordered_range_load(const char *given, const char *families, size_t finely_max,
                               struct ordered_range *ordered, struct error *error)
{
    const struct measured_range *measured = &ordered->measured;
    struct order_task task;
    enum status status;

    *ordered = (struct ordered_range){.order = {.count = 0}};
    status = measured_range_load(given, &ordered->measured, error);
    if (!status)
        status = families_create(measured, families, &ordered->families, error);
    task = (struct order_task){measured->inks, ordered->families.of_ink, measured->count,
                               ordered->families.count};
    ordered->rough = task.count > finely_max;
    if (!status && ordered->rough)
        status = order_roughly(&task, &ordered->order, error);
    else if (!status && task.count)
        status = order_arrange(&task, &ordered->order, error);
    return status;
}

void ordered_range_release(struct ordered_range *ordered)
{
    order_release(&ordered->order);
    families_release(&ordered->families);
    measured_range_release(&ordered->measured);
}
