#include "questions/blend_log.h"

#include "base/memory.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

void blend_log_release(struct blend_log *log)
{
    inventory_combinations_release(&log->combinations);
    inventory_strips_release(&log->strips);
    free(log->logged);
    free(log->logged_of);
    free(log->tested);
    memset(log, 0, sizeof *log);
}

static size_t ink_named(const struct measured_range *measured, const char *name)
{
    size_t i = 0;

    while (i < measured->count && strcmp(measured->inks[i].name, name) != 0)
        i++;
    return i;
}

/* --- combinations --------------------------------------------------------------------------- */

static bool colours_of(const struct measured_range *measured,
                       const struct inventory_combination *made, struct combination *colours)
{
    *colours = (struct combination){.count = made->count};
    for (size_t i = 0; i < made->count; i++) {
        size_t ink = ink_named(measured, made->inks[i]);

        if (ink == measured->count)
            return false;
        colours->colours[i] = measured->inks[ink].lab;
    }
    return made->count >= COMBINATION_LEAST;
}

static enum status take_combinations(const struct measured_range *measured, struct blend_log *log,
                                     struct error *error)
{
    size_t count = log->combinations.count;

    log->logged = memory_array(count + 1, sizeof *log->logged, "the combinations", error);
    log->logged_of = memory_array(count + 1, sizeof *log->logged_of, "the combinations", error);
    if (!log->logged || !log->logged_of)
        return error->status;
    for (size_t i = 0; i < count; i++)
        if (colours_of(measured, &log->combinations.items[i], &log->logged[log->logged_count]))
            log->logged_of[log->logged_count++] = i;
    return STATUS_OK;
}

/* --- test blends ---------------------------------------------------------------------------- */

enum status blend_log_learn(const struct inventory_strip *strip, struct blend_habit *habit,
                            struct error *error)
{
    struct reflectance_observer observer = reflectance_observer_d50();
    struct blend_sample samples[INVENTORY_STRIP_CELLS];
    struct blend_ink first, second;
    const struct blend_strip blended = {&first, &second, samples, strip->count - 2};
    size_t count = strip->count;
    enum status status;

    *habit = blend_habit_unknown();
    if (count < 3)
        return error_set(error, STATUS_QUALITY,
                         "a test blend has three cells or more, this one %zu", count);
    status = blend_ink_prepare(&observer, strip->cells[0].lab, 0, &first, error);
    if (!status)
        status = blend_ink_prepare(&observer, strip->cells[count - 1].lab, 0, &second, error);
    for (size_t i = 1; i + 1 < count; i++)
        samples[i - 1] = (struct blend_sample){strip->cells[i].second_share, strip->cells[i].lab};
    if (!status)
        status = blend_learn(&observer, &blended, habit, error);
    return status;
}

/* A strip that teaches nothing is passed over; it was told so when it was measured. */
static enum status take_strips(const struct measured_range *measured, struct blend_log *log,
                               struct error *error)
{
    double lean = 0;

    log->tested = memory_array(log->strips.count + 1, sizeof *log->tested, "the blends", error);
    if (!log->tested)
        return error->status;
    for (size_t i = 0; i < log->strips.count; i++) {
        const struct inventory_strip *strip = &log->strips.items[i];
        struct combine_tested tested = {
            ink_named(measured, strip->first), ink_named(measured, strip->second), {0}};
        enum status status = blend_log_learn(strip, &tested.habit, error);

        if (status == STATUS_MEMORY)
            return status;
        if (status || tested.first == measured->count || tested.second == measured->count)
            continue;
        lean += fmin(fmax(tested.habit.lean, 0), 1);
        log->tested[log->tested_count++] = tested;
    }
    if (log->tested_count) {
        log->untested.basis = BLEND_BY_OTHERS;
        log->untested.lean = lean / (double)log->tested_count;
    }
    return STATUS_OK;
}

/* --- loading -------------------------------------------------------------------------------- */

enum status blend_log_load(const char *given, const struct measured_range *measured,
                           struct blend_log *log, struct error *error)
{
    char path[INVENTORY_PATH_SIZE];
    struct inventory *inventory = NULL;
    enum status status = inventory_location(given, path, error);

    memset(log, 0, sizeof *log);
    log->untested = blend_habit_unknown();
    if (!status)
        status = inventory_open(path, INVENTORY_READ, &inventory, error);
    if (!status)
        status = inventory_read_combinations(inventory, NULL, &log->combinations, error);
    if (!status)
        status = inventory_read_strips(inventory, &log->strips, error);
    if (!status)
        status = take_combinations(measured, log, error);
    if (!status)
        status = take_strips(measured, log, error);
    inventory_close(inventory);
    if (status)
        blend_log_release(log);
    return status;
}
