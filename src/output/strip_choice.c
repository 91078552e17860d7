#include "strip_choice.h"

#include "base/memory.h"
#include "questions/combine_job.h"

#include <stdlib.h>
#include <string.h>

#define BETWEEN_FEW 3  /* blends between two inks of up to FEW */
#define BETWEEN_MANY 1 /* of more, so that a page holds them */
#define FEW 3

/* --- its inks --------------------------------------------------------------------------------- */

/* The inks of one strip, those without a colour too. */
struct strip_inks {
    const char *names[COMBINATION_MOST];
    const struct range_ink *inks[COMBINATION_MOST]; /* NULL: no colour is known */
    int count;
};

static const struct range_ink *ink_with_colour(const struct measured_range *measured,
                                               const char *name)
{
    for (size_t i = 0; i < measured->count; i++)
        if (strcmp(measured->inks[i].name, name) == 0)
            return &measured->inks[i];
    return NULL;
}

static enum status add_ink(const struct measured_range *measured, const char *name,
                           struct strip_inks *strip, struct error *error)
{
    const struct range_ink *known = NULL;
    enum status status = range_find(&measured->range, name, &known, error);

    if (status)
        return status;
    strip->names[strip->count] = known->name;
    strip->inks[strip->count++] = ink_with_colour(measured, known->name);
    return STATUS_OK;
}

/* It is laid from its lighter end. */
static void put_light_first(struct strip_inks *strip)
{
    const struct range_ink *first = strip->inks[0], *last = strip->inks[strip->count - 1];

    if (!first || !last || first->lab.L >= last->lab.L)
        return;
    for (int i = 0, j = strip->count - 1; i < j; i++, j--) {
        const struct range_ink *ink = strip->inks[i];
        const char *name = strip->names[i];

        strip->inks[i] = strip->inks[j];
        strip->names[i] = strip->names[j];
        strip->inks[j] = ink;
        strip->names[j] = name;
    }
}

/* --- its cells -------------------------------------------------------------------------------- */

static struct sheet_strip_cell ink_cell(const struct strip_inks *inks, int ink)
{
    struct sheet_strip_cell cell = {.ink = inks->names[ink], .foreseen = inks->inks[ink] != NULL};

    if (cell.foreseen)
        cell.lab = inks->inks[ink]->lab;
    return cell;
}

/* Foresee the blends between an ink and the next, where both have a colour. */
static enum status add_blends(const struct combine_task *task, const struct strip_inks *inks,
                              int first, struct sheet_strip *strip, struct error *error)
{
    const struct range_ink *const *pair = &inks->inks[first];
    int between = inks->count > FEW ? BETWEEN_MANY : BETWEEN_FEW;
    bool known = pair[0] && pair[1];
    struct reflectance_observer observer = reflectance_observer_d50();
    struct blend_habit habit = blend_habit_unknown();
    struct blend_ink ready[2];
    enum status status = STATUS_OK;

    for (int i = 0; !status && known && i < 2; i++)
        status =
            blend_ink_prepare(&observer, pair[i]->lab, combine_job_u95(pair[i]), &ready[i], error);
    if (known)
        habit = combine_habit(task, (size_t)(pair[0] - task->inks), (size_t)(pair[1] - task->inks));
    for (int i = 1; !status && i <= between; i++) {
        struct sheet_strip_cell *cell = &strip->cells[strip->count++];

        *cell = (struct sheet_strip_cell){.second_share = i / (between + 1.0), .foreseen = known};
        if (known)
            cell->lab =
                blend_forecast_at(&observer, &ready[0], &ready[1], cell->second_share, &habit).lab;
    }
    return status;
}

static enum status add_strip(char *const *names, size_t count, struct strip_choice *choice,
                             struct error *error)
{
    const struct combine_task task = {.inks = choice->measured.inks,
                                      .count = choice->measured.count,
                                      .tested = choice->log.tested,
                                      .tested_count = choice->log.tested_count,
                                      .untested = choice->log.untested};
    struct sheet_strip *strip = &choice->strips.items[choice->strips.count++];
    struct strip_inks inks = {.count = 0};
    enum status status = STATUS_OK;

    for (size_t i = 0; !status && i < count; i++)
        status = add_ink(&choice->measured, names[i], &inks, error);
    if (status)
        return status;
    put_light_first(&inks);
    for (int i = 0; !status && i < inks.count; i++) {
        strip->cells[strip->count++] = ink_cell(&inks, i);
        if (i + 1 < inks.count)
            status = add_blends(&task, &inks, i, strip, error);
    }
    return status;
}

/* --- which combinations ----------------------------------------------------------------------- */

enum status strip_choice_load(const char *inventory, char *const *inks, int count,
                              struct strip_choice *choice, struct error *error)
{
    const struct inventory_combinations *logged = &choice->log.combinations;
    enum status status = STATUS_OK;

    if (count && (count < COMBINATION_LEAST || count > COMBINATION_MOST))
        status = error_set(error, STATUS_USAGE,
                           "a combination has %d to %d inks, %d were named; name them in the order "
                           "they are blended, a name of several words in quotation marks",
                           COMBINATION_LEAST, COMBINATION_MOST, count);
    if (!status)
        status = measured_range_load(inventory, &choice->measured, error);
    if (!status)
        status = blend_log_load(inventory, &choice->measured, &choice->log, error);
    if (!status && !count && !logged->count)
        status = error_set(error, STATUS_INVENTORY,
                           "no combination is logged yet to put on a strip; name its inks behind "
                           "the file, or log it with 'woad combinations add INK INK...'");
    if (status)
        return status;
    choice->strips.items =
        memory_array(count ? 1 : logged->count, sizeof *choice->strips.items, "the strips", error);
    if (!choice->strips.items)
        return error->status;
    if (count)
        return add_strip(inks, (size_t)count, choice, error);
    for (size_t i = 0; !status && i < logged->count; i++)
        status = add_strip(logged->items[i].inks, logged->items[i].count, choice, error);
    return status;
}

void strip_choice_release(struct strip_choice *choice)
{
    free(choice->strips.items);
    blend_log_release(&choice->log);
    measured_range_release(&choice->measured);
    memset(choice, 0, sizeof *choice);
}
