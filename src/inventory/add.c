#include "values/calendar.h"
#include "inventory/inventory.h"
#include "inventory/known_names.h"
#include "swatches.h"
#include "base/memory.h"

/* --- chart ---------------------------------------------------------------------------------- */

static enum status refuse_small_chart(struct inventory_adding *adding, struct error *error)
{
    const struct reading *reading = &adding->kept->reading;
    const struct bound bound[] = {bound_integer(adding->chart_id), bound_integer(reading->row),
                                  bound_integer(reading->column)};
    const struct query fits = {
        "SELECT count(*) FROM chart WHERE id = ? AND rows >= ? AND columns >= ?", bound,
        COUNT(bound)};
    long long found = 0;
    enum status status = database_lookup(adding->inventory, &fits, &found, error);

    if (status || found)
        return status;
    return error_set(error, STATUS_INVENTORY,
                     "the inventory keeps the chart '%s' with fewer cells than row %d, column %d, "
                     "so nothing was added; call that chart otherwise",
                     adding->kept->chart, reading->row, reading->column);
}

/* One that came in just now grows with its cells. */
static enum status grow_chart(struct inventory_adding *adding, struct error *error)
{
    const struct reading *reading = &adding->kept->reading;
    const struct bound bound[] = {bound_integer(adding->chart_id), bound_integer(reading->row),
                                  bound_integer(reading->column)};
    const struct query grow = {"UPDATE chart SET rows = max(rows, ?2), columns = max(columns, ?3)"
                               " WHERE id = ?1 AND (rows < ?2 OR columns < ?3)",
                               bound, COUNT(bound)};

    if (adding->chart_id <= adding->newest_chart)
        return refuse_small_chart(adding, error);
    return database_execute(adding->inventory, &grow, error);
}

static enum status find_chart(struct inventory_adding *adding, struct error *error)
{
    const struct reading *reading = &adding->kept->reading;
    const struct bound bound[] = {bound_text(adding->kept->chart), bound_integer(reading->row),
                                  bound_integer(reading->column)};
    const struct query find = {"SELECT id FROM chart WHERE name = ?", bound, 1};
    const struct query insert = {"INSERT INTO chart (name, rows, columns) VALUES (?, ?, ?)", bound,
                                 COUNT(bound)};
    enum status status = database_lookup(adding->inventory, &find, &adding->chart_id, error);

    if (status || adding->chart_id)
        return status ? status : grow_chart(adding, error);
    status = database_execute(adding->inventory, &insert, error);
    adding->chart_id = sqlite3_last_insert_rowid(adding->inventory->connection);
    return status;
}

/* --- photo ---------------------------------------------------------------------------------- */

/* What readings from elsewhere do not tell of their photo is kept as 0. */
static enum status insert_photo(struct inventory_adding *adding, struct error *error)
{
    const struct inventory_reading *kept = adding->kept;
    const struct photo_time now = calendar_now();
    const struct bound bound[] = {bound_integer(adding->chart_id),
                                  bound_text(kept->hash),
                                  bound_integer(kept->take),
                                  bound_text(kept->photo),
                                  bound_time_seconds(&kept->taken),
                                  bound_time_offset(&kept->taken),
                                  bound_text(swatches_time_source(&kept->taken)),
                                  bound_text(kept->card ? kept->card : ""),
                                  bound_text(kept->method ? kept->method : ""),
                                  bound_time_seconds(&now),
                                  bound_time_offset(&now)};
    const struct query insert = {
        "INSERT INTO photo (chart_id, hash, take, path, taken_utc_s, taken_offset_min,"
        " taken_source, card, method, stored_utc_s, stored_offset_min, width_px, height_px,"
        " patches_used, residual_mean, residual_max, left_out_mean, left_out_max, light_falloff,"
        " light_shift, paper_L, paper_a, paper_b)"
        " VALUES (?,?,?,?,?,?,?,?,?,?,?, 0,0, 0,0,0,0,0,0,0,0,0,0)",
        bound, COUNT(bound)};
    enum status status = database_execute(adding->inventory, &insert, error);

    adding->photo_id = sqlite3_last_insert_rowid(adding->inventory->connection);
    return status;
}

static enum status refuse_other_photo(struct inventory_adding *adding, struct error *error)
{
    const struct bound bound[] = {bound_integer(adding->photo_id),
                                  bound_time_seconds(&adding->kept->taken),
                                  bound_integer(adding->chart_id)};
    const struct query same = {
        "SELECT count(*) FROM photo WHERE id = ? AND taken_utc_s IS ? AND chart_id = ?", bound,
        COUNT(bound)};
    long long found = 0;
    enum status status = database_lookup(adding->inventory, &same, &found, error);

    if (status || found)
        return status;
    return error_set(error, STATUS_INVENTORY,
                     "the readings of '%s' name more than one chart or time taken, so nothing was "
                     "added; give each photo a photo_hash of its own",
                     adding->kept->photo);
}

/* Photos are added once. */
static enum status find_photo(struct inventory_adding *adding, struct error *error)
{
    const struct inventory_reading *kept = adding->kept;
    const struct bound bound[] = {bound_text(kept->hash), bound_integer(kept->take)};
    const struct query find = {"SELECT id FROM photo WHERE hash = ? AND take = ?", bound,
                               COUNT(bound)};
    enum status status = database_lookup(adding->inventory, &find, &adding->photo_id, error);

    if (!status && adding->photo_id > adding->newest_photo)
        return refuse_other_photo(adding, error);
    if (status)
        return status;
    if (adding->photo_id)
        return error_set(error, STATUS_INVENTORY,
                         "the readings of '%s' are in the inventory already, so nothing was added",
                         kept->photo);
    adding->photos++;
    return insert_photo(adding, error);
}

/* --- reading -------------------------------------------------------------------------------- */

/* An ink that just came in must not be a slip of one there was before. */
static enum status check_ink(struct inventory_adding *adding, long long ink_id, struct error *error)
{
    if (ink_id <= adding->checked_ink || adding->fresh.inks)
        return STATUS_OK;
    adding->checked_ink = ink_id;
    return known_names_check_ink(adding->inventory, adding->kept->ink, adding->newest_ink, error);
}

static enum status find_swatch(struct inventory_adding *adding, long long cell_id, long long *id,
                               struct error *error)
{
    const struct inventory_reading *kept = adding->kept;
    struct swatch_told told = {cell_id, 0, kept->batch, kept->paper, kept->inked_at};
    enum status status = STATUS_OK;

    *id = 0;
    if (!kept->ink && kept->reading.found == CELL_EMPTY)
        return STATUS_OK;
    if (kept->ink)
        status = swatches_ink(adding->inventory, kept->ink, &told.ink_id, error);
    if (!status && kept->ink)
        status = check_ink(adding, told.ink_id, error);
    return status ? status : swatches_swatch(adding->inventory, &told, id, error);
}

static enum status refuse_cell_twice(struct inventory_adding *adding,
                                     const struct reading_place *place, struct error *error)
{
    const struct bound bound[] = {bound_integer(place->photo_id), bound_integer(place->cell_id)};
    const struct query twice = {"SELECT count(*) FROM reading WHERE photo_id = ? AND cell_id = ?",
                                bound, COUNT(bound)};
    long long found = 0;
    enum status status = database_lookup(adding->inventory, &twice, &found, error);

    if (status || !found)
        return status;
    return error_set(error, STATUS_INVENTORY,
                     "'%s' has two readings of row %d, column %d of the chart '%s', so nothing was "
                     "added; give each its own cell, or its own photo_hash or take",
                     adding->kept->photo, adding->kept->reading.row, adding->kept->reading.column,
                     adding->kept->chart);
}

static enum status add_reading(struct inventory_adding *adding, struct error *error)
{
    struct reading_place place = {adding->photo_id, 0, 0};
    enum status status = swatches_cell(adding->inventory, adding->chart_id, &adding->kept->reading,
                                       &place.cell_id, error);

    if (!status)
        status = refuse_cell_twice(adding, &place, error);
    if (!status)
        status = find_swatch(adding, place.cell_id, &place.swatch_id, error);
    if (!status)
        status = swatches_add_reading(adding->inventory, &adding->kept->reading, &place, error);
    return status;
}

enum status inventory_add_begin(struct inventory *inventory, const struct inventory_fresh *fresh,
                                struct inventory_adding *adding, struct error *error)
{
    const struct query inks = {"SELECT coalesce(max(id), 0) FROM ink", NULL, 0};
    const struct query charts = {"SELECT coalesce(max(id), 0) FROM chart", NULL, 0};
    const struct query photos = {"SELECT coalesce(max(id), 0) FROM photo", NULL, 0};
    enum status status = database_begin(inventory, error);

    *adding = (struct inventory_adding){.inventory = inventory, .fresh = *fresh};
    if (!status)
        status = database_lookup(inventory, &inks, &adding->newest_ink, error);
    if (!status)
        status = database_lookup(inventory, &charts, &adding->newest_chart, error);
    if (!status)
        status = database_lookup(inventory, &photos, &adding->newest_photo, error);
    adding->checked_ink = adding->newest_ink;
    return status;
}

enum status inventory_add(struct inventory_adding *adding, const struct inventory_reading *kept,
                          struct error *error)
{
    enum status status;

    adding->kept = kept;
    status = find_chart(adding, error);
    if (!status)
        status = find_photo(adding, error);
    if (!status)
        status = add_reading(adding, error);
    adding->readings++;
    return status;
}

enum status inventory_add_end(struct inventory_adding *adding, enum status status,
                              struct error *error)
{
    return database_end(adding->inventory, status, error);
}
