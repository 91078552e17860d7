#include "sheet_inks.h"

#include "base/memory.h"
#include "questions/ordered_range.h"

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

static enum status add_file(const char *path, int copies, bool listed, struct sheet_inks *inks,
                            struct error *error)
{
    struct names names = {0};
    enum status status = names_read(path, &names, error);

    for (int i = 0; !status && i < names.rows * names.columns; i++) {
        const struct sheet_ink ink = {.name = names.cells[i]};

        status = add_copies(inks, &ink, ink.name.ink[0] ? copies : 1, error);
    }
    if (!inks->rows && !listed) {
        inks->rows = names.rows;
        inks->columns = names.columns;
    }
    names_release(&names);
    return status;
}

/* --- from the inventory ----------------------------------------------------------------------- */

static enum status add_family(const struct sheet_choice *choice,
                              const struct ordered_range *ordered, size_t family,
                              struct sheet_inks *inks, struct error *error)
{
    const struct order_family *members = &ordered->order.families[family];
    const struct sheet_ink blank = {.measured = false};
    enum status status = STATUS_OK;

    for (size_t i = 0; !status && i < members->count; i++) {
        size_t place = ordered->order.inks[members->first + i];
        const struct range_ink *from = &ordered->measured.inks[place];
        struct sheet_ink ink = {.measured = true, .lab = from->lab};

        snprintf(ink.name.ink, sizeof ink.name.ink, "%.*s", NAMES_INK_BYTES_MAX, from->name);
        status = add_copies(inks, &ink, choice->copies, error);
    }
    return status || !members->count ? status : add_copies(inks, &blank, choice->spare, error);
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

static enum status add_inventory(const struct sheet_choice *choice, struct sheet_inks *inks,
                                 struct error *error)
{
    struct ordered_range ordered = {0};
    enum status status = ordered_range_load(choice->inventory, NULL, SIZE_MAX, &ordered, error);

    for (size_t i = 0; !status && i < ordered.order.family_count; i++)
        status = add_family(choice, &ordered, i, inks, error);
    if (!status)
        status = add_colourless(&ordered.measured, choice->copies, inks, error);
    if (!status && !inks->count)
        status = error_set(error, STATUS_INVENTORY,
                           "the inventory holds no inks yet to put on a sheet; give their names in "
                           "a file with --names, a field for each cell");
    ordered_range_release(&ordered);
    return status;
}

enum status sheet_inks_load(const struct sheet_choice *choice, struct sheet_inks *inks,
                            struct error *error)
{
    enum status status = STATUS_OK;

    if (!choice->file_count)
        return add_inventory(choice, inks, error);
    for (int i = 0; !status && i < choice->file_count; i++)
        status = add_file(choice->files[i], choice->copies, choice->listed, inks, error);
    return status;
}

void sheet_inks_release(struct sheet_inks *inks)
{
    free(inks->items);
    memset(inks, 0, sizeof *inks);
}
