#include "order_job.h"

#include "base/memory.h"
#include "base/utf8.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

struct order_cell order_job_cell(const struct name_sheets_place *place)
{
    return (struct order_cell){place->sheet, place->row, place->column, place->label};
}

/* --- the whole range ------------------------------------------------------------------------ */

/* Today's cells as the analysis takes them, and how they are after. */
struct slotting {
    struct order_job *job;
    size_t ink;
    long *cells;
    long *slotted; /* a cell more */
    size_t count;
    struct order_slot slot;
};

static long ink_in(const struct order_job *job, const char *name)
{
    if (!name[0])
        return ORDER_BLANK;
    for (size_t i = 0; i < job->task.count; i++)
        if (utf8_same(job->task.inks[i].name, name))
            return (long)i;
    return ORDER_COLOURLESS;
}

static enum status find_ink(struct slotting *slotting, struct error *error)
{
    const struct order_job *job = slotting->job;
    const struct range_ink *ink = NULL;
    enum status status = measured_range_find(&job->measured, job->settings->slot, &ink, error);
    size_t cell;

    if (status)
        return status;
    cell = name_sheets_find(&job->today, ink->name);
    if (cell < name_sheets_cells(&job->today)) {
        struct name_sheets_place place = name_sheets_place_of(&job->today, cell);

        return error_set(error, STATUS_USAGE,
                         "'%s' stands on today's sheets already, in %s of %s; to move it, leave "
                         "its cell blank first",
                         ink->name, place.label, place.sheet);
    }
    if (ink < job->measured.inks || ink >= job->measured.inks + job->measured.count)
        return error_set(error, STATUS_USAGE,
                         "'%s' is the thin part of an ink, which has no cell of its own in the "
                         "order",
                         ink->name);
    slotting->ink = (size_t)(ink - job->measured.inks);
    return STATUS_OK;
}

static enum status read_cells(struct slotting *slotting, struct error *error)
{
    const struct name_sheets *today = &slotting->job->today;

    slotting->count = name_sheets_cells(today);
    slotting->cells = memory_array(slotting->count, sizeof *slotting->cells, "the cells", error);
    slotting->slotted =
        memory_array(slotting->count + 1, sizeof *slotting->slotted, "the cells", error);
    if (!slotting->cells || !slotting->slotted)
        return error->status;
    for (size_t i = 0; i < slotting->count; i++)
        slotting->cells[i] = ink_in(slotting->job, name_sheets_cell(today, i)->ink);
    return STATUS_OK;
}

/* --- telling -------------------------------------------------------------------------------- */

static void tell_neighbours(const struct slotting *slotting, FILE *out)
{
    const struct range_ink *inks = slotting->job->task.inks;
    const struct order_slot *slot = &slotting->slot;
    struct lab lab = inks[slotting->ink].lab;
    const long beside[2] = {slot->before, slot->after};
    int told = 0;

    for (int i = 0; i < 2; i++)
        if (beside[i] >= 0)
            fprintf(out, "%s'%s' (delta E %.2f)", told++ ? " and " : "", inks[beside[i]].name,
                    colour_delta_e_2000(lab, inks[beside[i]].lab));
    if (!told)
        fputs("no ink with a colour", out);
}

static void tell_moves(const struct slotting *slotting, const struct name_sheets *after, FILE *out)
{
    const struct order_slot *slot = &slotting->slot;
    struct name_sheets_place place = name_sheets_place_of(after, slot->blank);

    if (slot->blank == slotting->count && slot->at == slotting->count)
        fputs("no other ink moves, but a further sheet is begun.\n", out);
    else if (!slot->moves)
        fputs("no other ink moves, for the cell is blank today.\n", out);
    else {
        fprintf(out, "%zu other ink%s, ", slot->moves, slot->moves == 1 ? " moves" : "s move");
        if (slot->blank < slotting->count)
            fprintf(out, "up to %s of %s, which is blank today.\n", place.label, place.sheet);
        else
            fputs("and a further sheet is begun, for no cell is blank.\n", out);
    }
}

static void tell(const struct slotting *slotting, const struct name_sheets *after, FILE *out)
{
    const struct order_job *job = slotting->job;
    const struct order_slot *slot = &slotting->slot;
    struct name_sheets_place place = name_sheets_place_of(after, slot->at);

    fprintf(out, "'%s' (%s) goes into %s of %s, beside ", job->task.inks[slotting->ink].name,
            job->families.names[job->task.family[slotting->ink]], place.label, place.sheet);
    tell_neighbours(slotting, out);
    fprintf(out, ".\nThe steps grow by %.2f; ", slot->detour);
    tell_moves(slotting, after, out);
    if (slot->moves && isfinite(slot->blank_detour)) {
        place = name_sheets_place_of(&job->today, slot->blank_at);
        fprintf(out, "In %s of %s, blank today, it would move none, and the steps grow by %.2f.\n",
                place.label, place.sheet, slot->blank_detour);
    }
}

/* --- what changes --------------------------------------------------------------------------- */

/* Where an ink of the cells after stood before; the number of cells: nowhere. */
static size_t cell_before(const struct slotting *slotting, size_t cell)
{
    const struct order_slot *slot = &slotting->slot;

    if (cell == slot->at)
        return slotting->count;
    if (cell > slot->at && cell <= slot->blank)
        return cell - 1;
    if (cell < slot->at && cell >= slot->blank)
        return cell + 1;
    return cell;
}

static enum status add_row(const struct slotting *slotting, const struct name_sheets *after,
                           size_t cell, struct table *table, struct error *error)
{
    const struct order_job *job = slotting->job;
    size_t before = cell_before(slotting, cell);
    struct name_sheets_place now = name_sheets_place_of(after, cell), was;
    long ink = slotting->slotted[cell];
    struct order_row row = {
        .name = name_sheets_cell(after, cell)->ink, .today = true, .from_previous = NAN};

    row.now = order_job_cell(&now);
    if (ink >= 0) {
        row.ink = &job->task.inks[ink];
        row.family = job->families.names[job->task.family[ink]];
    }
    if (before < slotting->count) {
        was = name_sheets_place_of(&job->today, before);
        row.was = order_job_cell(&was);
    }
    return order_rows_add(&row, table, error);
}

static enum status print_changes(const struct slotting *slotting, const struct name_sheets *after,
                                 struct error *error)
{
    const struct order_rows_kind kind = {true, true, true};
    enum table_format format = slotting->job->settings->format;
    FILE *out = format == TABLE_TEXT ? stdout : stderr;
    struct table table;
    enum status status = STATUS_OK;

    order_rows_start(&table, &kind);
    for (size_t i = 0; !status && i <= slotting->count; i++)
        if (cell_before(slotting, i) != i && i < name_sheets_cells(after) &&
            name_sheets_cell(after, i)->ink[0])
            status = add_row(slotting, after, i, &table, error);
    if (!status) {
        tell(slotting, after, out);
        if (out == stdout)
            putchar('\n');
        status = commands_print(&table, format, error);
    }
    table_release(&table);
    return status;
}

/* --- the sheets after ----------------------------------------------------------------------- */

/* Copy names cell by cell; a sheet more where the last ink finds no cell. */
static enum status make_after(const struct slotting *slotting, struct name_sheets *after,
                              struct error *error)
{
    const struct order_job *job = slotting->job;
    enum status status = name_sheets_copy(&job->today, after, error);

    if (!status && slotting->slot.blank == slotting->count)
        status = name_sheets_add_blank(after, error);
    for (size_t i = 0; !status && i <= slotting->count && i < name_sheets_cells(after); i++) {
        size_t before = cell_before(slotting, i);

        if (i == slotting->slot.at)
            snprintf(name_sheets_cell(after, i)->ink, sizeof name_sheets_cell(after, i)->ink,
                     "%.*s", NAMES_INK_BYTES_MAX, job->task.inks[slotting->ink].name);
        else if (before < slotting->count)
            *name_sheets_cell(after, i) = *name_sheets_cell(&job->today, before);
    }
    return status;
}

enum status order_job_slot(struct order_job *job, struct error *error)
{
    struct slotting slotting = {.job = job};
    struct name_sheets after = {0};
    enum status status = find_ink(&slotting, error);

    if (!status)
        status = read_cells(&slotting, error);
    if (!status) {
        slotting.slot = order_find_slot(&job->task, slotting.cells, slotting.count, slotting.ink);
        order_apply_slot(&slotting.slot, slotting.cells, slotting.count, (long)slotting.ink,
                         slotting.slotted);
        status = make_after(&slotting, &after, error);
    }
    if (!status && job->settings->write)
        status = name_sheets_write(&after, job->settings->write, error);
    if (!status)
        status = print_changes(&slotting, &after, error);
    name_sheets_release(&after);
    free(slotting.slotted);
    free(slotting.cells);
    return status;
}
