#include "inventory/combinations.h"

#include "base/memory.h"
#include "columns.h"
#include "database.h"

#include <stdlib.h>
#include <string.h>

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

/* A row of a strip: one of its cells. */
struct strip_row {
    struct inventory_strip of; /* its cells are not set */
    struct inventory_blend_cell cell;
};

static const struct column strip_columns[] = {
    COLUMN(struct strip_row, of.id, "blend.strip"),
    COLUMN(struct strip_row, of.first, "one.name"),
    COLUMN(struct strip_row, of.second, "two.name"),
    COLUMN(struct strip_row, of.photo, "blend.photo_path"),
    COLUMN(struct strip_row, of.hash, "blend.photo_hash"),
    COLUMN(struct strip_row, of.taken, "blend.taken_utc_s, blend.taken_offset_min, 'given'"),
    COLUMN(struct strip_row, cell.second_share, "blend.second_share"),
    COLUMN(struct strip_row, cell.lab, "blend.L, blend.a, blend.b"),
    COLUMN(struct strip_row, cell.u95, "blend.u95"),
    {0}};

static void release_strip(struct inventory_strip *strip)
{
    free(strip->first);
    free(strip->second);
    free(strip->photo);
    free(strip->hash);
}

/* Begin another strip, whose texts are the row's. */
static enum status begin_strip(struct inventory_strips *strips, const struct inventory_strip *begun,
                               struct error *error)
{
    if (strips->count == strips->capacity) {
        struct inventory_strip *grown =
            memory_grow(strips->items, &strips->capacity, sizeof *grown, "the strips", error);

        if (!grown)
            return error->status;
        strips->items = grown;
    }
    strips->items[strips->count++] = *begun;
    return STATUS_OK;
}

/* Rows of one strip follow one another, a cell each. */
static enum status add_row(void *context, void *taken, struct error *error)
{
    struct inventory_strips *strips = context;
    struct strip_row *row = taken;
    struct inventory_strip *last = strips->items + strips->count - 1;

    if (!strips->count || last->id != row->of.id) {
        enum status status = begin_strip(strips, &row->of, error);

        if (status)
            return status;
        last = strips->items + strips->count - 1;
    } else
        release_strip(&row->of);
    if (last->count < INVENTORY_STRIP_CELLS)
        last->cells[last->count++] = row->cell;
    return STATUS_OK;
}

enum status inventory_read_strips(struct inventory *inventory, struct inventory_strips *strips,
                                  struct error *error)
{
    const struct selection selection = {
        .columns = strip_columns,
        .after = "FROM blend JOIN ink AS one ON one.id = blend.first_ink_id"
                 " JOIN ink AS two ON two.id = blend.second_ink_id"
                 " WHERE blend.strip IS NOT NULL ORDER BY blend.strip, blend.second_share"};
    struct strip_row row;
    const struct columns_taker taker = {&row, sizeof row, add_row, strips};
    enum status status;

    memset(strips, 0, sizeof *strips);
    status = columns_each(inventory, &selection, &taker, error);
    if (status)
        inventory_strips_release(strips);
    return status;
}

void inventory_strips_release(struct inventory_strips *strips)
{
    for (size_t i = 0; i < strips->count; i++)
        release_strip(&strips->items[i]);
    free(strips->items);
    memset(strips, 0, sizeof *strips);
}
