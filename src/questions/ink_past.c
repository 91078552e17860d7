#include "questions/ink_past.h"

#include "base/memory.h"

#include <stdlib.h>
#include <string.h>

static void add_to_batch(struct ink_past *past, const struct inventory_reading *kept)
{
    size_t i = 0;

    while (i < past->batch_count && past->batches[i].last->batch_id != kept->batch_id)
        i++;
    past->batch_count += i == past->batch_count;
    past->batches[i].last = kept; /* they are by the time taken */
    past->batches[i].readings++;
}

static enum status list_batches(const struct kept_filter *filter, struct ink_past *past,
                                struct error *error)
{
    past->batches =
        memory_array(past->readings.count + 1, sizeof *past->batches, "the batches", error);
    if (!past->batches)
        return error->status;
    for (size_t i = 0; i < past->readings.count; i++) {
        const struct inventory_reading *kept = &past->readings.items[i];

        if (kept->batch && !kept->superseded && kept_passes(filter, kept))
            add_to_batch(past, kept);
    }
    return STATUS_OK;
}

enum status ink_past_load(struct inventory *inventory, const char *name, struct ink_past *past,
                          struct error *error)
{
    const struct kept_filter filter = {.ink = name};
    const struct dried_question question = {&filter, .fits_only = false};
    enum status status;

    *past = (struct ink_past){.batch_count = 0};
    status = inventory_read_readings(inventory, NULL, &past->readings, error);
    if (!status)
        status = dried_load(&past->readings, &question, &past->dried, error);
    if (!status)
        status = list_batches(&filter, past, error);
    if (!status)
        status = inventory_read_combinations(inventory, NULL, &past->combinations, error);
    return status;
}

void ink_past_release(struct ink_past *past)
{
    free(past->batches);
    inventory_combinations_release(&past->combinations);
    dried_release(&past->dried);
    inventory_readings_release(&past->readings);
    *past = (struct ink_past){.batch_count = 0};
}

bool ink_past_has(const struct inventory_combination *combination, const char *name)
{
    for (size_t i = 0; i < combination->count; i++)
        if (strcmp(combination->inks[i], name) == 0)
            return true;
    return false;
}
