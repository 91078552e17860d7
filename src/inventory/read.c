#include "columns.h"
#include "database.h"
#include "inventory/inventory.h"

#include <stdlib.h>
#include <string.h>

/* --- inks ----------------------------------------------------------------------------------- */

/* An ink goes with the last of its readings; one that never had any stays. */
#define INK_COUNTS                                                                                 \
    "NOT ink.forgotten AND (EXISTS (SELECT 1 FROM swatch JOIN counted_reading"                     \
    " ON counted_reading.swatch_id = swatch.id WHERE swatch.ink_id = ink.id)"                      \
    " OR NOT EXISTS (SELECT 1 FROM swatch JOIN reading ON reading.swatch_id = swatch.id"           \
    " WHERE swatch.ink_id = ink.id))"

/* The last reading of each ink; a photo of unknown time counts from when it was stored. */
static const char last_seen[] =
    "WITH seen AS ("
    "  SELECT swatch.ink_id, reading.L, reading.a, reading.b, reading.u95, reading.flags,"
    "    photo.taken_utc_s, photo.taken_offset_min,"
    "    row_number() OVER (PARTITION BY swatch.ink_id ORDER BY"
    "      coalesce(photo.taken_utc_s, photo.stored_utc_s) DESC, reading.id DESC) AS place,"
    "    count(*) OVER (PARTITION BY swatch.ink_id) AS readings"
    "  FROM counted_reading AS reading JOIN swatch ON swatch.id = reading.swatch_id"
    "  JOIN photo ON photo.id = reading.photo_id"
    "  WHERE reading.found = 'ink')";

static const struct column ink_columns[] = {
    COLUMN(struct inventory_ink, name, "ink.name"),
    COLUMN(struct inventory_ink, swatches,
           "(SELECT count(*) FROM swatch WHERE swatch.ink_id = ink.id AND NOT swatch.forgotten)"),
    COLUMN(struct inventory_ink, readings, "coalesce(seen.readings, 0)"),
    COLUMN(struct inventory_ink, measured, "seen.readings IS NOT NULL"),
    COLUMN(struct inventory_ink, lab, "seen.L, seen.a, seen.b"),
    COLUMN(struct inventory_ink, u95, "seen.u95"),
    COLUMN(struct inventory_ink, flags, "seen.flags"),
    COLUMN(struct inventory_ink, taken, "seen.taken_utc_s, seen.taken_offset_min, 'given'"),
    {0}};

static const struct column name_columns[] = {COLUMN(struct inventory_ink, name, "ink.name"), {0}};

static enum status read_inks(struct inventory *inventory, const struct selection *selection,
                             struct inventory_inks *inks, struct error *error)
{
    struct columns_list list = {.size = sizeof *inks->items, .what = "the inks"};
    enum status status = columns_read(inventory, selection, &list, error);

    *inks = (struct inventory_inks){list.items, list.count};
    return status;
}

enum status inventory_read_inks(struct inventory *inventory, struct inventory_inks *inks,
                                struct error *error)
{
    const struct selection selection = {
        .before = last_seen,
        .columns = ink_columns,
        .after = "FROM ink LEFT JOIN seen ON seen.ink_id = ink.id AND seen.place = 1"
                 " WHERE " INK_COUNTS " ORDER BY ink.name COLLATE NOCASE, ink.name"};

    return read_inks(inventory, &selection, inks, error);
}

enum status inventory_read_names(struct inventory *inventory, struct inventory_inks *inks,
                                 struct error *error)
{
    const struct selection selection = {.columns = name_columns,
                                        .after = "FROM ink WHERE " INK_COUNTS
                                                 " ORDER BY name COLLATE NOCASE, name"};

    return read_inks(inventory, &selection, inks, error);
}

void inventory_inks_release(struct inventory_inks *inks)
{
    for (size_t i = 0; i < inks->count; i++)
        free(inks->items[i].name);
    free(inks->items);
    memset(inks, 0, sizeof *inks);
}

/* --- cells ---------------------------------------------------------------------------------- */

static const struct column cell_columns[] = {
    COLUMN(struct inventory_cell, row, "cell.row"),
    COLUMN(struct inventory_cell, column, "cell.column"),
    COLUMN(struct inventory_cell, lab, "reading.L, reading.a, reading.b"),
    {0}};

enum status inventory_read_cells(struct inventory *inventory, const char *chart,
                                 struct inventory_cells *cells, struct error *error)
{
    const struct bound name = bound_text(chart);
    const struct selection selection = {
        .columns = cell_columns,
        .after = "FROM counted_reading AS reading JOIN cell ON cell.id = reading.cell_id"
                 " WHERE reading.found = 'ink' AND cell.chart_id = (SELECT id FROM chart"
                 "   WHERE fold(name) = fold(?1) ORDER BY name = ?1 DESC, id LIMIT 1)"
                 " GROUP BY cell.id HAVING reading.id = max(reading.id)",
        .bound = &name,
        .bound_count = 1};
    struct columns_list list = {.size = sizeof *cells->items, .what = "the cells"};
    enum status status = columns_read(inventory, &selection, &list, error);

    *cells = (struct inventory_cells){list.items, list.count};
    return status;
}

void inventory_cells_release(struct inventory_cells *cells)
{
    free(cells->items);
    memset(cells, 0, sizeof *cells);
}

/* --- readings ------------------------------------------------------------------------------- */

static const struct column reading_columns[] = {
    COLUMN(struct inventory_reading, id, "reading.id"),
    COLUMN(struct inventory_reading, photo_id, "reading.photo_id"),
    COLUMN(struct inventory_reading, swatch_id, "reading.swatch_id"),
    COLUMN(struct inventory_reading, batch_id, "swatch.batch_id"),
    COLUMN(struct inventory_reading, ink, "ink.name"),
    COLUMN(struct inventory_reading, batch, "coalesce(batch.label, swatch.batch_told)"),
    COLUMN(struct inventory_reading, chart, "chart.name"),
    COLUMN(struct inventory_reading, paper, "swatch.paper"),
    COLUMN(struct inventory_reading, photo, "photo.path"),
    COLUMN(struct inventory_reading, hash, "photo.hash"),
    COLUMN(struct inventory_reading, card, "photo.card"),
    COLUMN(struct inventory_reading, method, "photo.method"),
    COLUMN(struct inventory_reading, take, "photo.take"),
    COLUMN(struct inventory_reading, superseded,
           "reading.swatch_id IS NOT NULL AND"
           " photo.take < max(photo.take) OVER (PARTITION BY photo.hash, reading.swatch_id)"),
    COLUMN(struct inventory_reading, taken,
           "photo.taken_utc_s, photo.taken_offset_min, photo.taken_source"),
    COLUMN(struct inventory_reading, inked_at,
           "swatch.inked_utc_s, swatch.inked_offset_min, 'given'"),
    COLUMN(struct inventory_reading, photo_paper, "photo.paper_L, photo.paper_a, photo.paper_b"),
    COLUMN(struct inventory_reading, reading.row, "cell.row"),
    COLUMN(struct inventory_reading, reading.column, "cell.column"),
    COLUMN_FOUND(struct inventory_reading, reading.found, "reading.found"),
    COLUMN(struct inventory_reading, reading.lab, "reading.L, reading.a, reading.b"),
    COLUMN(struct inventory_reading, reading.u95, "reading.u95"),
    COLUMN(struct inventory_reading, reading.unevenness, "reading.unevenness"),
    COLUMN(struct inventory_reading, reading.flags, "reading.flags"),
    COLUMN(struct inventory_reading, reading.covariance_shared,
           "reading.shared_LL, reading.shared_La, reading.shared_Lb,"
           " reading.shared_aa, reading.shared_ab, reading.shared_bb"),
    COLUMN(struct inventory_reading, reading.covariance_own,
           "reading.own_LL, reading.own_La, reading.own_Lb,"
           " reading.own_aa, reading.own_ab, reading.own_bb"),
    {0}};

static const char readings_after[] =
    "FROM counted_reading AS reading JOIN photo ON photo.id = reading.photo_id"
    " JOIN cell ON cell.id = reading.cell_id JOIN chart ON chart.id = cell.chart_id"
    " LEFT JOIN swatch ON swatch.id = reading.swatch_id LEFT JOIN ink ON ink.id = swatch.ink_id"
    " LEFT JOIN batch ON batch.id = swatch.batch_id"
    " WHERE ?1 IS NULL OR ink.id = (SELECT id FROM ink WHERE folded = fold(?1) OR name = ?1"
    "   ORDER BY name = ?1 DESC, forgotten, id LIMIT 1)"
    " ORDER BY coalesce(photo.taken_utc_s, photo.stored_utc_s), reading.photo_id, cell.row,"
    "  cell.column";

void inventory_reading_release(struct inventory_reading *reading)
{
    char *texts[] = {reading->ink,   reading->batch, reading->chart, reading->paper,
                     reading->photo, reading->hash,  reading->card,  reading->method};

    for (size_t j = 0; j < sizeof texts / sizeof *texts; j++)
        free(texts[j]);
}

/* The readings of an ink, or all (NULL). */
static struct selection select_readings(const struct bound *ink)
{
    return (struct selection){
        .columns = reading_columns, .after = readings_after, .bound = ink, .bound_count = 1};
}

enum status inventory_read_readings(struct inventory *inventory, const char *ink,
                                    struct inventory_readings *readings, struct error *error)
{
    const struct bound name = bound_text(ink);
    const struct selection selection = select_readings(&name);
    struct columns_list list = {.size = sizeof *readings->items, .what = "the readings"};
    enum status status = columns_read(inventory, &selection, &list, error);

    *readings = (struct inventory_readings){list.items, list.count};
    return status;
}

/* Lend a reading to whoever asked for each. */
static enum status lend_reading(void *context, void *row, struct error *error)
{
    const struct inventory_taker *taker = context;
    enum status status = taker->take(taker->context, row, error);

    if (!status)
        inventory_reading_release(row);
    return status;
}

enum status inventory_each_reading(struct inventory *inventory, const struct inventory_taker *taker,
                                   struct error *error)
{
    const struct bound all = bound_text(NULL);
    const struct selection selection = select_readings(&all);
    struct inventory_taker lent = *taker;
    struct inventory_reading row;
    const struct columns_taker lending = {&row, sizeof row, lend_reading, &lent};

    return columns_each(inventory, &selection, &lending, error);
}

void inventory_readings_release(struct inventory_readings *readings)
{
    for (size_t i = 0; i < readings->count; i++)
        inventory_reading_release(&readings->items[i]);
    free(readings->items);
    memset(readings, 0, sizeof *readings);
}
