#include "base/memory.h"
#include "columns.h"
#include "database.h"
#include "inventory/inventory.h"
#include "measurement/words.h"

#include <stdlib.h>
#include <string.h>

static enum photo_time_source source_from_word(const char *word)
{
    if (!word || strcmp(word, "none") == 0)
        return PHOTO_TIME_NONE;
    if (strcmp(word, "exif") == 0)
        return PHOTO_TIME_EXIF;
    return strcmp(word, "file") == 0 ? PHOTO_TIME_FILE : PHOTO_TIME_GIVEN;
}

/* --- inks ----------------------------------------------------------------------------------- */

/* An ink goes with the last of its readings; one that never had any stays. */
#define INK_COUNTS                                                                                 \
    "NOT ink.forgotten AND (EXISTS (SELECT 1 FROM swatch JOIN counted_reading"                     \
    " ON counted_reading.swatch_id = swatch.id WHERE swatch.ink_id = ink.id)"                      \
    " OR NOT EXISTS (SELECT 1 FROM swatch JOIN reading ON reading.swatch_id = swatch.id"           \
    " WHERE swatch.ink_id = ink.id))"

/* A photo of unknown time counts from when it was stored. */
static const char inks_sql[] =
    "WITH seen AS ("
    "  SELECT swatch.ink_id, reading.L, reading.a, reading.b, reading.u95, reading.flags,"
    "    photo.taken_utc_s, photo.taken_offset_min,"
    "    row_number() OVER (PARTITION BY swatch.ink_id ORDER BY"
    "      coalesce(photo.taken_utc_s, photo.stored_utc_s) DESC, reading.id DESC) AS place,"
    "    count(*) OVER (PARTITION BY swatch.ink_id) AS readings"
    "  FROM counted_reading AS reading JOIN swatch ON swatch.id = reading.swatch_id"
    "  JOIN photo ON photo.id = reading.photo_id"
    "  WHERE reading.found = 'ink' AND reading.part = 'full')"
    " SELECT ink.name, (SELECT count(*) FROM swatch WHERE swatch.ink_id = ink.id"
    "   AND NOT swatch.forgotten),"
    "   coalesce(seen.readings, 0), seen.L, seen.a, seen.b, seen.u95, seen.flags,"
    "   seen.taken_utc_s, seen.taken_offset_min"
    " FROM ink LEFT JOIN seen ON seen.ink_id = ink.id AND seen.place = 1"
    " WHERE " INK_COUNTS " ORDER BY ink.name COLLATE NOCASE, ink.name";

static enum status ink_from_row(sqlite3_stmt *row, struct inventory_ink *ink, struct error *error)
{
    memset(ink, 0, sizeof *ink);
    ink->swatches = sqlite3_column_int(row, 1);
    ink->readings = sqlite3_column_int(row, 2);
    ink->measured = ink->readings > 0;
    ink->lab = columns_lab(row, 3);
    ink->u95 = sqlite3_column_double(row, 6);
    ink->flags = (unsigned)sqlite3_column_int(row, 7);
    ink->taken = columns_time(row, 8);
    return columns_text(row, 0, &ink->name, error);
}

static enum status add_ink(struct inventory_inks *inks, sqlite3_stmt *row, struct error *error)
{
    if (inks->count == inks->capacity) {
        struct inventory_ink *grown =
            memory_grow(inks->items, &inks->capacity, sizeof *grown, "the inks", error);

        if (!grown)
            return error->status;
        inks->items = grown;
    }
    return ink_from_row(row, &inks->items[inks->count++], error);
}

static enum status read_inks(struct inventory *inventory, const char *sql,
                             struct inventory_inks *inks, struct error *error)
{
    const struct query query = {sql, NULL, 0};
    sqlite3_stmt *statement = NULL;
    bool row = true;
    enum status status = database_prepare(inventory, &query, &statement, error);

    memset(inks, 0, sizeof *inks);
    while (!status && row) {
        status = database_step(inventory, statement, &row, error);
        if (!status && row)
            status = add_ink(inks, statement, error);
    }
    sqlite3_finalize(statement);
    if (status)
        inventory_inks_release(inks);
    return status;
}

enum status inventory_read_inks(struct inventory *inventory, struct inventory_inks *inks,
                                struct error *error)
{
    return read_inks(inventory, inks_sql, inks, error);
}

enum status inventory_read_names(struct inventory *inventory, struct inventory_inks *inks,
                                 struct error *error)
{
    return read_inks(inventory,
                     "SELECT name, 0, 0, NULL, NULL, NULL, NULL, 0, NULL, NULL FROM ink"
                     " WHERE " INK_COUNTS " ORDER BY name COLLATE NOCASE, name",
                     inks, error);
}

void inventory_inks_release(struct inventory_inks *inks)
{
    for (size_t i = 0; i < inks->count; i++)
        free(inks->items[i].name);
    free(inks->items);
    memset(inks, 0, sizeof *inks);
}

/* --- cells ---------------------------------------------------------------------------------- */

static const char cells_sql[] =
    "SELECT cell.row, cell.column, reading.L, reading.a, reading.b, max(reading.id)"
    " FROM counted_reading AS reading JOIN cell ON cell.id = reading.cell_id"
    " WHERE reading.found = 'ink' AND cell.chart_id = (SELECT id FROM chart"
    "   WHERE fold(name) = fold(?1) ORDER BY name = ?1 DESC, id LIMIT 1)"
    " GROUP BY cell.id";

static enum status add_cell(struct inventory_cells *cells, sqlite3_stmt *row, struct error *error)
{
    if (cells->count == cells->capacity) {
        struct inventory_cell *grown =
            memory_grow(cells->items, &cells->capacity, sizeof *grown, "the cells", error);

        if (!grown)
            return error->status;
        cells->items = grown;
    }
    cells->items[cells->count++] = (struct inventory_cell){
        sqlite3_column_int(row, 0), sqlite3_column_int(row, 1), columns_lab(row, 2)};
    return STATUS_OK;
}

enum status inventory_read_cells(struct inventory *inventory, const char *chart,
                                 struct inventory_cells *cells, struct error *error)
{
    const struct bound name = bound_text(chart);
    const struct query query = {cells_sql, &name, 1};
    sqlite3_stmt *statement = NULL;
    bool row = true;
    enum status status = database_prepare(inventory, &query, &statement, error);

    memset(cells, 0, sizeof *cells);
    while (!status && row) {
        status = database_step(inventory, statement, &row, error);
        if (!status && row)
            status = add_cell(cells, statement, error);
    }
    sqlite3_finalize(statement);
    if (status)
        inventory_cells_release(cells);
    return status;
}

void inventory_cells_release(struct inventory_cells *cells)
{
    free(cells->items);
    memset(cells, 0, sizeof *cells);
}

/* --- readings ------------------------------------------------------------------------------- */

static const char readings_sql[] =
    "SELECT reading.id, reading.photo_id, reading.swatch_id, photo.take,"
    "  ink.name, coalesce(batch.label, swatch.batch_told), chart.name, swatch.paper, photo.path, "
    "photo.hash, photo.card,"
    "  photo.method, photo.taken_utc_s, photo.taken_offset_min, photo.taken_source,"
    "  swatch.inked_utc_s, swatch.inked_offset_min, cell.row, cell.column, reading.found,"
    "  reading.L, reading.a, reading.b, reading.u95, reading.evenness, reading.flags,"
    "  reading.shared_LL, reading.shared_La, reading.shared_Lb,"
    "  reading.shared_aa, reading.shared_ab, reading.shared_bb,"
    "  reading.own_LL, reading.own_La, reading.own_Lb,"
    "  reading.own_aa, reading.own_ab, reading.own_bb, photo.paper_L, photo.paper_a, photo.paper_b,"
    "  swatch.batch_id,"
    "  photo.take < max(photo.take) OVER (PARTITION BY photo.hash, reading.swatch_id)"
    " FROM counted_reading AS reading JOIN photo ON photo.id = reading.photo_id"
    " JOIN cell ON cell.id = reading.cell_id JOIN chart ON chart.id = cell.chart_id"
    " LEFT JOIN swatch ON swatch.id = reading.swatch_id LEFT JOIN ink ON ink.id = swatch.ink_id"
    " LEFT JOIN batch ON batch.id = swatch.batch_id"
    " WHERE ?1 IS NULL OR ink.id = (SELECT id FROM ink WHERE folded = fold(?1) OR name = ?1"
    "   ORDER BY name = ?1 DESC, forgotten, id LIMIT 1)"
    " ORDER BY coalesce(photo.taken_utc_s, photo.stored_utc_s), reading.photo_id, cell.row,"
    "  cell.column";

/* Where the columns of readings_sql begin. */
enum {
    TEXTS_AT = 4,
    TAKEN_AT = 12,
    INKED_AT = 15,
    CELL_AT = 17,
    COLOUR_AT = 20,
    MATRICES_AT = 26,
    PAPER_AT = 38,
    BATCH_AT = 41,
    SUPERSEDED_AT = 42
};

static void read_covariance(sqlite3_stmt *row, int column, double covariance[9])
{
    static const int place[9] = {0, 1, 2, 1, 3, 4, 2, 4, 5};

    for (int i = 0; i < 9; i++)
        covariance[i] = sqlite3_column_double(row, column + place[i]);
}

static struct reading reading_from_row(sqlite3_stmt *row)
{
    struct reading reading = {0};
    const char *found = (const char *)sqlite3_column_text(row, CELL_AT + 2);

    reading.row = sqlite3_column_int(row, CELL_AT);
    reading.column = sqlite3_column_int(row, CELL_AT + 1);
    reading.found = words_to_found(found ? found : "");
    reading.lab = columns_lab(row, COLOUR_AT);
    reading.u95 = sqlite3_column_double(row, COLOUR_AT + 3);
    reading.evenness = sqlite3_column_double(row, COLOUR_AT + 4);
    reading.flags = (unsigned)sqlite3_column_int(row, COLOUR_AT + 5);
    read_covariance(row, MATRICES_AT, reading.covariance_shared);
    read_covariance(row, MATRICES_AT + 6, reading.covariance_own);
    return reading;
}

static enum status kept_from_row(sqlite3_stmt *row, struct inventory_reading *kept,
                                 struct error *error)
{
    char **texts[] = {&kept->ink,   &kept->batch, &kept->chart, &kept->paper,
                      &kept->photo, &kept->hash,  &kept->card,  &kept->method};
    enum status status = STATUS_OK;

    memset(kept, 0, sizeof *kept);
    kept->id = sqlite3_column_int64(row, 0);
    kept->photo_id = sqlite3_column_int64(row, 1);
    kept->swatch_id = sqlite3_column_int64(row, 2);
    kept->batch_id = sqlite3_column_int64(row, BATCH_AT);
    kept->take = sqlite3_column_int(row, 3);
    kept->superseded = kept->swatch_id && sqlite3_column_int(row, SUPERSEDED_AT);
    kept->taken = columns_time(row, TAKEN_AT);
    kept->taken.source = source_from_word((const char *)sqlite3_column_text(row, TAKEN_AT + 2));
    kept->inked_at = columns_time(row, INKED_AT);
    kept->photo_paper = columns_lab(row, PAPER_AT);
    kept->reading = reading_from_row(row);
    for (int i = 0; !status && i < (int)(sizeof texts / sizeof *texts); i++)
        status = columns_text(row, TEXTS_AT + i, texts[i], error);
    return status;
}

void inventory_reading_release(struct inventory_reading *reading)
{
    char *texts[] = {reading->ink,   reading->batch, reading->chart, reading->paper,
                     reading->photo, reading->hash,  reading->card,  reading->method};

    for (size_t j = 0; j < sizeof texts / sizeof *texts; j++)
        free(texts[j]);
}

static enum status add_kept(struct inventory_readings *readings, sqlite3_stmt *row,
                            struct error *error)
{
    if (readings->count == readings->capacity) {
        struct inventory_reading *grown =
            memory_grow(readings->items, &readings->capacity, sizeof *grown, "the readings", error);

        if (!grown)
            return error->status;
        readings->items = grown;
    }
    return kept_from_row(row, &readings->items[readings->count++], error);
}

enum status inventory_read_readings(struct inventory *inventory, const char *ink,
                                    struct inventory_readings *readings, struct error *error)
{
    const struct bound name = bound_text(ink);
    const struct query query = {readings_sql, &name, 1};
    sqlite3_stmt *statement = NULL;
    bool row = true;
    enum status status = database_prepare(inventory, &query, &statement, error);

    memset(readings, 0, sizeof *readings);
    while (!status && row) {
        status = database_step(inventory, statement, &row, error);
        if (!status && row)
            status = add_kept(readings, statement, error);
    }
    sqlite3_finalize(statement);
    if (status)
        inventory_readings_release(readings);
    return status;
}

enum status inventory_each_reading(struct inventory *inventory, const struct inventory_taker *taker,
                                   struct error *error)
{
    const struct bound all = bound_text(NULL);
    const struct query query = {readings_sql, &all, 1};
    sqlite3_stmt *statement = NULL;
    bool row = true;
    enum status status = database_prepare(inventory, &query, &statement, error);

    while (!status && row) {
        struct inventory_reading kept = {0};

        status = database_step(inventory, statement, &row, error);
        if (!status && row)
            status = kept_from_row(statement, &kept, error);
        if (!status && row)
            status = taker->take(taker->context, &kept, error);
        inventory_reading_release(&kept);
    }
    sqlite3_finalize(statement);
    return status;
}

void inventory_readings_release(struct inventory_readings *readings)
{
    for (size_t i = 0; i < readings->count; i++)
        inventory_reading_release(&readings->items[i]);
    free(readings->items);
    memset(readings, 0, sizeof *readings);
}
