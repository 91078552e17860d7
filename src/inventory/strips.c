#include "inventory/combinations.h"

#include "base/memory.h"
#include "columns.h"
#include "database.h"

#include <stdlib.h>
#include <string.h>

#define COUNT(array) ((int)(sizeof(array) / sizeof *(array)))

/* --- writing -------------------------------------------------------------------------------- */

/* What the cells of one strip hang on. */
struct storing {
    struct inventory *inventory;
    const struct inventory_strip *strip;
    long long id, first, second;
};

static enum status find_ink(struct inventory *inventory, const char *name, long long *id,
                            struct error *error)
{
    struct bound bound = bound_text(name);
    struct query query = {"SELECT id FROM ink WHERE (folded = fold(?1) OR name = ?1)"
                          " AND NOT forgotten ORDER BY name = ?1 DESC, id LIMIT 1",
                          &bound, 1};
    enum status status = database_lookup(inventory, &query, id, error);

    if (status || *id)
        return status;
    return error_set(error, STATUS_INVENTORY, "the inventory holds no ink '%.120s'", name);
}

static enum status refuse_again(struct storing *storing, struct error *error)
{
    const struct bound bound[] = {bound_text(storing->strip->hash), bound_integer(storing->first),
                                  bound_integer(storing->second)};
    const struct query query = {"SELECT count(*) FROM blend WHERE photo_hash = ?1 AND"
                                " first_ink_id IN (?2, ?3) AND second_ink_id IN (?2, ?3)",
                                bound, COUNT(bound)};
    long long count = 0;
    enum status status = database_lookup(storing->inventory, &query, &count, error);

    if (status || !count)
        return status;
    return error_set(error, STATUS_INVENTORY,
                     "%s: this photo's blend of '%s' and '%s' is in the inventory already; nothing "
                     "was stored",
                     storing->strip->photo, storing->strip->first, storing->strip->second);
}

static enum status insert_cell(struct storing *storing, const struct inventory_blend_cell *cell,
                               struct error *error)
{
    const struct inventory_strip *strip = storing->strip;
    const struct bound bound[] = {
        bound_integer(storing->id),        bound_integer(storing->first),
        bound_integer(storing->second),    bound_real(cell->second_share),
        bound_real(cell->lab.L),           bound_real(cell->lab.a),
        bound_real(cell->lab.b),           bound_real(cell->u95),
        bound_text(strip->photo),          bound_text(strip->hash),
        bound_time_seconds(&strip->taken), bound_time_offset(&strip->taken)};
    const struct query query = {
        "INSERT INTO blend (strip, first_ink_id, second_ink_id, second_share, L, a, b, u95,"
        " photo_path, photo_hash, taken_utc_s, taken_offset_min)"
        " VALUES (?,?,?,?,?,?,?,?,?,?,?,?)",
        bound, COUNT(bound)};

    return database_execute(storing->inventory, &query, error);
}

enum status inventory_add_strip(struct inventory *inventory, const struct inventory_strip *strip,
                                struct error *error)
{
    struct storing storing = {.inventory = inventory, .strip = strip};
    const struct query next = {"SELECT coalesce(max(strip), 0) + 1 FROM blend", NULL, 0};
    enum status status = database_begin(inventory, error);

    if (status)
        return status;
    status = find_ink(inventory, strip->first, &storing.first, error);
    if (!status)
        status = find_ink(inventory, strip->second, &storing.second, error);
    if (!status)
        status = refuse_again(&storing, error);
    if (!status)
        status = database_lookup(inventory, &next, &storing.id, error);
    for (size_t i = 0; !status && i < strip->count; i++)
        status = insert_cell(&storing, &strip->cells[i], error);
    return database_end(inventory, status, error);
}

/* --- reading -------------------------------------------------------------------------------- */

static const char strips_sql[] =
    "SELECT blend.strip, one.name, two.name, blend.photo_path, blend.photo_hash,"
    "  blend.taken_utc_s, blend.taken_offset_min, blend.second_share, blend.L, blend.a, blend.b,"
    "  blend.u95"
    " FROM blend JOIN ink AS one ON one.id = blend.first_ink_id"
    " JOIN ink AS two ON two.id = blend.second_ink_id"
    " WHERE blend.strip IS NOT NULL ORDER BY blend.strip, blend.second_share";

static enum status begin_strip(struct inventory_strips *strips, sqlite3_stmt *row,
                               struct error *error)
{
    struct inventory_strip *strip;
    enum status status = STATUS_OK;

    if (strips->count == strips->capacity) {
        strip = memory_grow(strips->items, &strips->capacity, sizeof *strip, "the strips", error);
        if (!strip)
            return error->status;
        strips->items = strip;
    }
    strip = &strips->items[strips->count++];
    memset(strip, 0, sizeof *strip);
    strip->id = sqlite3_column_int64(row, 0);
    strip->taken = columns_time(row, 5);
    if (!status)
        status = columns_text(row, 1, &strip->first, error);
    if (!status)
        status = columns_text(row, 2, &strip->second, error);
    if (!status)
        status = columns_text(row, 3, &strip->photo, error);
    return status ? status : columns_text(row, 4, &strip->hash, error);
}

static enum status add_row(struct inventory_strips *strips, sqlite3_stmt *row, struct error *error)
{
    struct inventory_strip *last;
    enum status status = STATUS_OK;

    if (!strips->count || strips->items[strips->count - 1].id != sqlite3_column_int64(row, 0))
        status = begin_strip(strips, row, error);
    if (status)
        return status;
    last = &strips->items[strips->count - 1];
    if (last->count < INVENTORY_STRIP_CELLS)
        last->cells[last->count++] = (struct inventory_blend_cell){
            sqlite3_column_double(row, 7), columns_lab(row, 8), sqlite3_column_double(row, 11)};
    return STATUS_OK;
}

enum status inventory_read_strips(struct inventory *inventory, struct inventory_strips *strips,
                                  struct error *error)
{
    const struct query query = {strips_sql, NULL, 0};
    sqlite3_stmt *statement = NULL;
    bool row = true;
    enum status status = database_prepare(inventory, &query, &statement, error);

    memset(strips, 0, sizeof *strips);
    while (!status && row) {
        status = database_step(inventory, statement, &row, error);
        if (!status && row)
            status = add_row(strips, statement, error);
    }
    sqlite3_finalize(statement);
    if (status)
        inventory_strips_release(strips);
    return status;
}

void inventory_strips_release(struct inventory_strips *strips)
{
    for (size_t i = 0; i < strips->count; i++) {
        free(strips->items[i].first);
        free(strips->items[i].second);
        free(strips->items[i].photo);
        free(strips->items[i].hash);
    }
    free(strips->items);
    memset(strips, 0, sizeof *strips);
}
