#include "database.h"
#include "values/calendar.h"
#include "inventory/inventory.h"
#include "inventory/known_names.h"
#include "swatches.h"
#include "base/memory.h"

#include <stdio.h>
#include <string.h>

/* What the rows of one photo hang on. */
struct storing {
    struct inventory *inventory;
    const struct inventory_entry *entry;
    struct inventory_outcome *outcome;
    long long chart_id;
    long long photo_id;
};

/* --- photo and chart ------------------------------------------------------------------------ */

/* How often the photo was measured before, with any chart, what was forgotten since included. */
static enum status count_takes(struct storing *storing, int *takes, struct error *error)
{
    struct bound hash = bound_text(storing->entry->photo->hash);
    struct query query = {"SELECT count(*) FROM photo WHERE hash = ?", &hash, 1};
    long long count = 0;
    enum status status = database_lookup(storing->inventory, &query, &count, error);

    *takes = (int)count;
    return status;
}

/* How often the same photo counts already: of several charts each is measured for itself. */
static enum status count_same(struct storing *storing, int *same, struct error *error)
{
    const struct photo *photo = storing->entry->photo;
    struct bound bound[] = {bound_text(photo->hash),
                            bound_text(storing->entry->several ? storing->entry->chart : NULL)};
    struct query query = {"SELECT count(*) FROM photo JOIN chart ON chart.id = photo.chart_id"
                          " WHERE NOT photo.forgotten AND hash = ?1"
                          " AND (?2 IS NULL OR fold(chart.name) = fold(?2))",
                          bound, COUNT(bound)};
    long long count = 0;
    enum status status = database_lookup(storing->inventory, &query, &count, error);

    *same = (int)count;
    if (!status && count && !storing->entry->again)
        return error_set(error, STATUS_INVENTORY,
                         "%s: the same photo is in the inventory already, so nothing was stored; "
                         "--again adds this measurement beside the first, --dry-run only shows it",
                         photo->path);
    return status;
}

static enum status refuse_other_shape(struct storing *storing, struct error *error)
{
    const struct chart_pose *pose = &storing->entry->measured->pose;
    struct bound id = bound_integer(storing->chart_id);
    struct query rows = {"SELECT rows FROM chart WHERE id = ?", &id, 1};
    struct query columns = {"SELECT columns FROM chart WHERE id = ?", &id, 1};
    long long row_count = 0, column_count = 0;
    enum status status = database_lookup(storing->inventory, &rows, &row_count, error);

    if (!status)
        status = database_lookup(storing->inventory, &columns, &column_count, error);
    if (status || (row_count == pose->rows && column_count == pose->columns))
        return status;
    return error_set(
        error, STATUS_INVENTORY,
        "%s: the inventory keeps the chart '%s' with %lld rows x %lld columns of cells, "
        "this photo shows %d x %d; name this sheet otherwise with --chart, or tell "
        "the count with --rows and --columns",
        storing->entry->photo->path, storing->entry->chart, row_count, column_count, pose->rows,
        pose->columns);
}

static enum status find_chart(struct storing *storing, bool *known, struct error *error)
{
    const struct chart_pose *pose = &storing->entry->measured->pose;
    const struct bound bound[] = {bound_text(storing->entry->chart), bound_integer(pose->rows),
                                  bound_integer(pose->columns)};
    const struct query find = {"SELECT id FROM chart WHERE fold(name) = fold(?1)"
                               " ORDER BY name = ?1 DESC, id LIMIT 1",
                               bound, 1};
    const struct query insert = {"INSERT INTO chart (name, rows, columns) VALUES (?, ?, ?)", bound,
                                 COUNT(bound)};
    enum status status = database_lookup(storing->inventory, &find, &storing->chart_id, error);

    *known = storing->chart_id != 0;
    if (status || *known)
        return status ? status : refuse_other_shape(storing, error);
    status = database_execute(storing->inventory, &insert, error);
    storing->chart_id = sqlite3_last_insert_rowid(storing->inventory->connection);
    return status;
}

static enum status add_photo(struct storing *storing, int take, struct error *error)
{
    const struct photo *photo = storing->entry->photo;
    const struct measurement *measurement = storing->entry->measurement;
    const struct correction_quality *quality = &measurement->quality;
    const struct photo_time now = calendar_now();
    const struct bound bound[] = {bound_integer(storing->chart_id),
                                  bound_text(photo->hash),
                                  bound_integer(take),
                                  bound_text(photo->path),
                                  bound_integer(photo->stored_width_px),
                                  bound_integer(photo->stored_height_px),
                                  bound_text(photo->profile_name),
                                  bound_time_seconds(&photo->taken),
                                  bound_time_offset(&photo->taken),
                                  bound_text(swatches_time_source(&photo->taken)),
                                  bound_text(storing->entry->card),
                                  bound_text(quality->method),
                                  bound_integer(quality->patches_used),
                                  bound_real(quality->residual_mean),
                                  bound_real(quality->residual_max),
                                  bound_real(quality->left_out_mean),
                                  bound_real(quality->left_out_max),
                                  bound_real(quality->light_falloff),
                                  bound_real(quality->light_shift),
                                  bound_real(measurement->paper.L),
                                  bound_real(measurement->paper.a),
                                  bound_real(measurement->paper.b),
                                  bound_time_seconds(&now),
                                  bound_time_offset(&now)};
    const struct query insert = {
        "INSERT INTO photo (chart_id, hash, take, path, width_px, height_px, profile,"
        " taken_utc_s, taken_offset_min, taken_source, card, method, patches_used,"
        " residual_mean, residual_max, left_out_mean, left_out_max, light_falloff, light_shift,"
        " paper_L, paper_a, paper_b, stored_utc_s, stored_offset_min)"
        " VALUES (?,?,?,?,?,?,?,?,?,?,?,?,?,?,?,?,?,?,?,?,?,?,?,?)",
        bound, COUNT(bound)};
    enum status status = database_execute(storing->inventory, &insert, error);

    storing->photo_id = sqlite3_last_insert_rowid(storing->inventory->connection);
    return status;
}

/* A cell that held another ink when the chart was last measured. */
static enum status note_changed(struct storing *storing, const struct reading *reading,
                                const struct name *name, long long before, struct error *error)
{
    struct inventory_outcome *outcome = storing->outcome;
    struct inventory_changed_cell *cell;
    const struct bound id = bound_integer(before);
    const struct query query = {"SELECT name FROM ink WHERE id = ?", &id, 1};

    if (outcome->changed++ >= INVENTORY_CHANGED_LISTED)
        return STATUS_OK;
    cell = &outcome->changed_cells[outcome->changed - 1];
    cell->row = reading->row;
    cell->column = reading->column;
    snprintf(cell->now, sizeof cell->now, "%s", name->ink);
    return database_lookup_text(storing->inventory, &query, cell->before, sizeof cell->before,
                                error);
}

/* The ink of a cell: as named, else as the cell is known; 0 if it has no name. */
static enum status ink_of_cell(struct storing *storing, const struct reading *reading,
                               long long cell_id, long long *ink_id, struct error *error)
{
    const struct names *names = storing->entry->names;
    const struct name *name = names ? names_at(names, reading->row, reading->column) : NULL;
    long long before = 0;
    enum status status = swatches_last_ink(storing->inventory, cell_id, &before, error);

    *ink_id = name ? 0 : before;
    if (status || !name || !name->ink[0])
        return status;
    status = swatches_ink(storing->inventory, name->ink, ink_id, error);
    if (!status && before && before != *ink_id)
        status = note_changed(storing, reading, name, before, error);
    return status;
}

static enum status swatch_of_reading(struct storing *storing, const struct reading *reading,
                                     long long cell_id, long long *id, struct error *error)
{
    const struct inventory_entry *entry = storing->entry;
    const struct name *name =
        entry->names ? names_at(entry->names, reading->row, reading->column) : NULL;
    struct swatch_told told = {cell_id, 0, entry->batch, entry->paper, entry->inked_at};
    enum status status = ink_of_cell(storing, reading, cell_id, &told.ink_id, error);

    *id = 0;
    if (status || (!told.ink_id && reading->found == CELL_EMPTY))
        return status;
    if (name && name->inked_at.source != PHOTO_TIME_NONE)
        told.inked_at = name->inked_at;
    if (name && name->batch[0])
        told.batch = name->batch;
    storing->outcome->unnamed += !told.ink_id;
    return swatches_swatch(storing->inventory, &told, id, error);
}

/* --- readings ------------------------------------------------------------------------------- */

static enum status add_reading(struct storing *storing, const struct reading *reading,
                               struct error *error)
{
    long long cell_id = 0, swatch_id = 0;
    enum status status =
        swatches_cell(storing->inventory, storing->chart_id, reading, &cell_id, error);

    if (!status)
        status = swatch_of_reading(storing, reading, cell_id, &swatch_id, error);
    if (!status) {
        const struct reading_place place = {storing->photo_id, cell_id, swatch_id};
        status = swatches_add_reading(storing->inventory, reading, &place, error);
    }
    return status;
}

static enum status store_entry(struct inventory *inventory, const struct inventory_entry *entry,
                               struct inventory_outcome *outcome, struct error *error)
{
    struct storing storing = {inventory, entry, outcome, 0, 0};
    const struct known_naming naming = {entry->names, entry->chart, entry->batch, entry->fresh};
    int takes = 0;
    enum status status = count_takes(&storing, &takes, error);

    if (!status)
        status = known_names_check(inventory, &naming, error);
    if (!status)
        status = count_same(&storing, &outcome->times_before, error);
    if (!status)
        status = find_chart(&storing, &outcome->chart_known, error);
    if (!status)
        status = add_photo(&storing, takes + 1, error);
    outcome->readings = entry->measured->pose.rows * entry->measured->pose.columns;
    for (int i = 0; !status && i < outcome->readings; i++)
        status = add_reading(&storing, &entry->measured->readings[i], error);
    return status;
}

enum status inventory_store(struct inventory *inventory, const struct inventory_entry *entries,
                            int count, struct inventory_outcome *outcomes, struct error *error)
{
    enum status status = database_begin(inventory, error);

    memset(outcomes, 0, (size_t)count * sizeof *outcomes);
    if (status)
        return status;
    for (int i = 0; !status && i < count; i++)
        status = store_entry(inventory, &entries[i], &outcomes[i], error);
    return database_end(inventory, status, error);
}
