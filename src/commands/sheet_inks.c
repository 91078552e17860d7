#include "sheet_inks.h"

#include "analysis/order.h"
#include "base/memory.h"
#include "questions/families.h"
#include "questions/measured_range.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static enum status add(struct sheet_inks *inks, const struct sheet_ink *ink, struct error *error)
{
    struct sheet_ink *items = inks->items;

    if (inks->count == inks->capacity) {
        items = memory_grow(items, &inks->capacity, sizeof *items, "the inks of a sheet", error);
        if (!items)
            return error->status;
        inks->items = items;
    }
    items[inks->count++] = *ink;
    return STATUS_OK;
}

static enum status add_copies(struct sheet_inks *inks, const struct sheet_ink *ink, int copies,
                              struct error *error)
{
    enum status status = STATUS_OK;

    for (int i = 0; !status && i < copies; i++)
        status = add(inks, ink, error);
    return status;
}

/* --- from names files ------------------------------------------------------------------------- */

static enum status add_file(const char *path, int copies, struct sheet_inks *inks,
                            struct error *error)
{
    struct names names = {0};
    enum status status = names_read(path, &names, error);

    for (int i = 0; !status && i < names.rows * names.columns; i++) {
        const struct sheet_ink ink = {.name = names.cells[i]};

        status = add_copies(inks, &ink, ink.name.ink[0] ? copies : 1, error);
    }
    if (!inks->rows) {
        inks->rows = names.rows;
        inks->columns = names.columns;
    }
    names_release(&names);
    return status;
}

/* --- from the inventory ----------------------------------------------------------------------- */

static enum status add_family(const struct sheet_choice *choice, const struct order *order,
                              const struct order_family *family, const struct order_task *task,
                              struct sheet_inks *inks, struct error *error)
{
    const struct sheet_ink blank = {.measured = false};
    enum status status = STATUS_OK;

    for (size_t i = 0; !status && i < family->count; i++) {
        const struct range_ink *from = &task->inks[order->inks[family->first + i]];
        struct sheet_ink ink = {.measured = true, .lab = from->lab};

        snprintf(ink.name.ink, sizeof ink.name.ink, "%.*s", NAMES_INK_BYTES_MAX, from->name);
        status = add_copies(inks, &ink, choice->copies, error);
    }
    return status || !family->count ? status : add_copies(inks, &blank, choice->spare, error);
}

/* Inks that have no colour yet stand behind those that have. */
static enum status add_colourless(const struct measured_range *measured, int copies,
                                  struct sheet_inks *inks, struct error *error)
{
    enum status status = STATUS_OK;

    for (size_t i = 0; !status && i < measured->range.count; i++) {
        const struct range_ink *from = &measured->range.inks[i];
        struct sheet_ink ink = {.measured = false};

        if (from->basis != COLOUR_NONE && from->basis != COLOUR_WET_ONLY)
            continue;
        snprintf(ink.name.ink, sizeof ink.name.ink, "%.*s", NAMES_INK_BYTES_MAX, from->name);
        status = add_copies(inks, &ink, copies, error);
    }
    return status;
}

static enum status add_range(const struct sheet_choice *choice,
                             const struct measured_range *measured, struct sheet_inks *inks,
                             struct error *error)
{
    struct families families = {0};
    struct order order = {0};
    struct order_task task = {0};
    enum status status = families_create(measured, NULL, &families, error);

    task = (struct order_task){measured->inks, families.of_ink, measured->count, families.count};
    if (!status && task.count)
        status = order_arrange(&task, &order, error);
    for (size_t i = 0; !status && i < order.family_count; i++)
        status = add_family(choice, &order, &order.families[i], &task, inks, error);
    if (!status)
        status = add_colourless(measured, choice->copies, inks, error);
    order_release(&order);
    families_release(&families);
    return status;
}

static enum status add_inventory(const struct sheet_choice *choice, struct sheet_inks *inks,
                                 struct error *error)
{
    struct measured_range measured = {0};
    enum status status = measured_range_load(choice->inventory, &measured, error);

    if (!status)
        status = add_range(choice, &measured, inks, error);
    if (!status && !inks->count)
        status = error_set(error, STATUS_INVENTORY,
                           "the inventory holds no inks yet to put on a sheet; give their names in "
                           "a file with --names, a field for each cell");
    measured_range_release(&measured);
    return status;
}

enum status sheet_inks_load(const struct sheet_choice *choice, struct sheet_inks *inks,
                            struct error *error)
{
    enum status status = STATUS_OK;

    if (!choice->files->count)
        return add_inventory(choice, inks, error);
    for (int i = 0; !status && i < choice->files->count; i++)
        status = add_file(choice->files->words[i], choice->copies, inks, error);
    return status;
}

void sheet_inks_release(struct sheet_inks *inks)
{
    free(inks->items);
    memset(inks, 0, sizeof *inks);
}
