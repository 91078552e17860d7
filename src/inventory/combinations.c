#include "inventory/combinations.h"

#include "base/memory.h"
#include "base/utf8.h"
#include "columns.h"
#include "database.h"
#include "values/calendar.h"

#include <stdint.h>
#include <stdlib.h>
#include <string.h>

/* --- writing -------------------------------------------------------------------------------- */

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

static enum status insert_combination(struct inventory *inventory,
                                      const struct inventory_combination *combination,
                                      long long *id, struct error *error)
{
    const struct bound bound[] = {bound_text(combination->mood), bound_text(combination->note),
                                  bound_time_seconds(&combination->made),
                                  bound_time_offset(&combination->made)};
    const struct query query = {
        "INSERT INTO combination (mood, note, made_utc_s, made_offset_min) VALUES (?, ?, ?, ?)",
        bound, COUNT(bound)};
    enum status status = database_execute(inventory, &query, error);

    *id = sqlite3_last_insert_rowid(inventory->connection);
    return status;
}

static enum status insert_ink(struct inventory *inventory, long long combination, size_t position,
                              const char *name, struct error *error)
{
    long long ink = 0;
    enum status status = find_ink(inventory, name, &ink, error);
    const struct bound bound[] = {bound_integer(combination), bound_integer((long long)position),
                                  bound_integer(ink)};
    const struct query query = {
        "INSERT INTO combination_ink (combination_id, position, ink_id) VALUES (?, ?, ?)", bound,
        COUNT(bound)};

    return status ? status : database_execute(inventory, &query, error);
}

enum status inventory_add_combination(struct inventory *inventory,
                                      const struct inventory_combination *combination,
                                      struct error *error)
{
    long long id = 0;
    enum status status = database_begin(inventory, error);

    if (status)
        return status;
    status = insert_combination(inventory, combination, &id, error);
    for (size_t i = 0; !status && i < combination->count; i++)
        status = insert_ink(inventory, id, i + 1, combination->inks[i], error);
    return database_end(inventory, status, error);
}

/* --- reading -------------------------------------------------------------------------------- */

/* A row of a combination: one of its inks. */
struct combination_row {
    struct inventory_combination of; /* its inks are not set */
    char *ink;
};

static const struct column combination_columns[] = {
    COLUMN(struct combination_row, of.id, "combination.id"),
    COLUMN(struct combination_row, of.mood, "combination.mood"),
    COLUMN(struct combination_row, of.note, "combination.note"),
    COLUMN(struct combination_row, of.made,
           "combination.made_utc_s, combination.made_offset_min, 'given'"),
    COLUMN(struct combination_row, ink, "ink.name"),
    {0}};

/* Begin another combination, whose texts are the row's. */
static enum status begin_combination(struct inventory_combinations *combinations,
                                     const struct inventory_combination *begun, struct error *error)
{
    if (combinations->count == combinations->capacity) {
        struct inventory_combination *grown = memory_grow(
            combinations->items, &combinations->capacity, sizeof *grown, "the combinations", error);

        if (!grown)
            return error->status;
        combinations->items = grown;
    }
    combinations->items[combinations->count++] = *begun;
    return STATUS_OK;
}

/* Rows of one combination follow one another, an ink each. */
static enum status add_row(void *context, void *taken, struct error *error)
{
    struct inventory_combinations *combinations = context;
    struct combination_row *row = taken;
    struct inventory_combination *last = combinations->items + combinations->count - 1;
    enum status status = STATUS_OK;

    if (!combinations->count || last->id != row->of.id) {
        status = begin_combination(combinations, &row->of, error);
        if (status)
            return status;
        last = combinations->items + combinations->count - 1;
    } else {
        free(row->of.mood);
        free(row->of.note);
    }
    if (last->count < INVENTORY_COMBINATION_INKS)
        last->inks[last->count++] = row->ink;
    else
        free(row->ink);
    return STATUS_OK;
}

enum status inventory_read_combinations(struct inventory *inventory, const struct photo_time *since,
                                        struct inventory_combinations *combinations,
                                        struct error *error)
{
    const struct bound bound = bound_integer(since ? since->utc_seconds : INT64_MIN);
    const struct selection selection = {
        .columns = combination_columns,
        .after = "FROM combination"
                 " JOIN combination_ink ON combination_ink.combination_id = combination.id"
                 " JOIN ink ON ink.id = combination_ink.ink_id"
                 " WHERE NOT combination.forgotten AND combination.made_utc_s >= ?1"
                 " ORDER BY combination.made_utc_s, combination.id, combination_ink.position",
        .bound = &bound,
        .bound_count = 1};
    struct combination_row row;
    const struct columns_taker taker = {&row, sizeof row, add_row, combinations};
    enum status status;

    memset(combinations, 0, sizeof *combinations);
    status = columns_each(inventory, &selection, &taker, error);
    if (status)
        inventory_combinations_release(combinations);
    return status;
}

void inventory_combinations_release(struct inventory_combinations *combinations)
{
    for (size_t i = 0; i < combinations->count; i++) {
        free(combinations->items[i].mood);
        free(combinations->items[i].note);
        for (size_t k = 0; k < combinations->items[i].count; k++)
            free(combinations->items[i].inks[k]);
    }
    free(combinations->items);
    memset(combinations, 0, sizeof *combinations);
}

static bool is_same(const struct inventory_combination *made, char *const *inks, size_t count)
{
    size_t same = 0;

    for (size_t k = 0; k < made->count; k++)
        for (size_t i = 0; i < count; i++)
            same += utf8_same(made->inks[k], inks[i]);
    return made->count == count && same == count;
}

enum status inventory_refuse_logged(struct inventory *inventory, char *const *inks, size_t count,
                                    struct error *error)
{
    struct inventory_combinations made = {0};
    enum status status = inventory_read_combinations(inventory, NULL, &made, error);

    for (size_t i = 0; !status && i < made.count; i++)
        if (is_same(&made.items[i], inks, count)) {
            char when[CALENDAR_TEXT_SIZE];

            calendar_format(&made.items[i].made, when);
            status = error_set(error, STATUS_USAGE,
                               "these inks are logged already, as combination %lld, made %s; "
                               "--again logs them once more",
                               made.items[i].id, when);
        }
    inventory_combinations_release(&made);
    return status;
}
