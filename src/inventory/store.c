#include "database.h"
#include "files/clock.h"
#include "inventory/inventory.h"
#include "measurement/words.h"

#include <stdio.h>
#include <string.h>

#define COUNT(array) ((int)(sizeof(array) / sizeof *(array)))

/* What the rows of one photo hang on. */
struct storing {
    struct inventory *inventory;
    const struct inventory_entry *entry;
    long long chart_id;
    long long photo_id;
};

static const char *const source_words[] = {[PHOTO_TIME_NONE] = "none",
                                           [PHOTO_TIME_EXIF] = "exif",
                                           [PHOTO_TIME_FILE] = "file",
                                           [PHOTO_TIME_GIVEN] = "given"};

/* Run `insert`, which does nothing where the row is there already, then `select` its id. */
static enum status find_or_add(struct inventory *inventory, const struct query *insert,
                               const char *select, long long *id, struct error *error)
{
    struct query find = {select, insert->bound, insert->count};
    enum status status = database_execute(inventory, insert, error);

    return status ? status : database_lookup(inventory, &find, id, error);
}

/* --- photo and chart ------------------------------------------------------------------------ */

static enum status count_takes(struct storing *storing, int *takes, struct error *error)
{
    const struct photo *photo = storing->entry->photo;
    struct bound hash = bound_text(photo->hash);
    struct query query = {"SELECT count(*) FROM photo WHERE hash = ?", &hash, 1};
    long long count = 0;
    enum status status = database_lookup(storing->inventory, &query, &count, error);

    *takes = (int)count;
    if (!status && count && !storing->entry->again)
        return error_set(error, STATUS_INVENTORY,
                         "%s: the same photo is in the inventory already, so nothing was stored; "
                         "--again adds this measurement beside the first, --dry-run only shows it",
                         photo->path);
    return status;
}

static enum status refuse_other_shape(struct storing *storing, struct error *error)
{
    const struct chart_pose *pose = &storing->entry->measurement->chart;
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
    const struct chart_pose *pose = &storing->entry->measurement->chart;
    const struct bound bound[] = {bound_text(storing->entry->chart), bound_integer(pose->rows),
                                  bound_integer(pose->columns)};
    const struct query find = {"SELECT id FROM chart WHERE name = ?", bound, 1};
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
    const struct photo_time now = clock_now();
    const struct bound bound[] = {bound_integer(storing->chart_id),
                                  bound_text(photo->hash),
                                  bound_integer(take),
                                  bound_text(photo->path),
                                  bound_integer(photo->stored_width_px),
                                  bound_integer(photo->stored_height_px),
                                  bound_text(photo->profile_name),
                                  bound_time_seconds(&photo->taken),
                                  bound_time_offset(&photo->taken),
                                  bound_text(source_words[photo->taken.source]),
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

/* --- cell, ink, batch, swatch --------------------------------------------------------------- */

static enum status find_cell(struct storing *storing, const struct reading *reading, long long *id,
                             struct error *error)
{
    const struct bound bound[] = {bound_integer(storing->chart_id), bound_integer(reading->row),
                                  bound_integer(reading->column)};
    const struct query insert = {
        "INSERT INTO cell (chart_id, row, column) VALUES (?, ?, ?) ON CONFLICT DO NOTHING", bound,
        COUNT(bound)};

    return find_or_add(storing->inventory, &insert,
                       "SELECT id FROM cell WHERE chart_id = ? AND row = ? AND column = ?", id,
                       error);
}

static enum status find_ink(struct inventory *inventory, const char *name, long long *id,
                            struct error *error)
{
    const struct bound bound = bound_text(name);
    const struct query insert = {"INSERT INTO ink (name) VALUES (?) ON CONFLICT DO NOTHING", &bound,
                                 1};

    return find_or_add(inventory, &insert, "SELECT id FROM ink WHERE name = ?", id, error);
}

static enum status find_batch(struct inventory *inventory, long long ink_id, const char *label,
                              long long *id, struct error *error)
{
    const struct bound bound[] = {bound_integer(ink_id), bound_text(label)};
    const struct query insert = {
        "INSERT INTO batch (ink_id, label) VALUES (?, ?) ON CONFLICT DO NOTHING", bound,
        COUNT(bound)};

    *id = 0;
    if (!label)
        return STATUS_OK;
    return find_or_add(inventory, &insert, "SELECT id FROM batch WHERE ink_id = ? AND label = ?",
                       id, error);
}

/* The swatch last kept for the cell, unless something told speaks against it: see inventory.h. */
static const char same_swatch[] =
    "SELECT id FROM (SELECT * FROM swatch WHERE cell_id = ?1 ORDER BY id DESC LIMIT 1)"
    " WHERE ink_id = ?2 AND (?3 IS NULL OR batch_id IS ?3) AND (?4 IS NULL OR paper IS ?4)"
    " AND (?5 IS NULL OR inked_utc_s IS ?5)";

static const char new_swatch[] =
    "INSERT INTO swatch (cell_id, ink_id, batch_id, paper, inked_utc_s, inked_offset_min)"
    " VALUES (?, ?, ?, ?, ?, ?)";

static enum status find_swatch(struct inventory *inventory, const struct bound bound[6],
                               long long *id, struct error *error)
{
    const struct query find = {same_swatch, bound, 5};
    const struct query insert = {new_swatch, bound, 6};
    enum status status = database_lookup(inventory, &find, id, error);

    if (status || *id)
        return status;
    status = database_execute(inventory, &insert, error);
    *id = sqlite3_last_insert_rowid(inventory->connection);
    return status;
}

/* What the inventory calls the ink of a cell: labels of unnamed sheets would meet, so the chart's
 * name stands before them. */
static void ink_name(const struct inventory_entry *entry, const struct reading *reading, char *name,
                     size_t size)
{
    char label[NAMES_LABEL_SIZE];
    const char *called = names_of_cell(entry->names, reading->row, reading->column, label);

    snprintf(name, size, "%s%s%s", entry->names ? "" : entry->chart, entry->names ? "" : " ",
             called);
}

static enum status swatch_of_reading(struct storing *storing, const struct reading *reading,
                                     long long cell_id, long long *id, struct error *error)
{
    const struct inventory_entry *entry = storing->entry;
    struct photo_time inked_at = entry->inked_at;
    const char *batch = entry->batch;
    char name[INVENTORY_PATH_SIZE];
    long long ink_id = 0, batch_id = 0;
    enum status status;

    *id = 0;
    ink_name(entry, reading, name, sizeof name);
    if (!name[0] || (!entry->names && reading->found == CELL_EMPTY))
        return STATUS_OK;
    if (entry->names &&
        names_at(entry->names, reading->row, reading->column)->inked_at.source != PHOTO_TIME_NONE)
        inked_at = names_at(entry->names, reading->row, reading->column)->inked_at;
    if (entry->names && names_at(entry->names, reading->row, reading->column)->batch[0])
        batch = names_at(entry->names, reading->row, reading->column)->batch;
    status = find_ink(storing->inventory, name, &ink_id, error);
    if (!status)
        status = find_batch(storing->inventory, ink_id, batch, &batch_id, error);
    if (!status) {
        const struct bound bound[6] = {
            bound_integer(cell_id),   bound_integer(ink_id),         bound_id(batch_id),
            bound_text(entry->paper), bound_time_seconds(&inked_at), bound_time_offset(&inked_at)};

        status = find_swatch(storing->inventory, bound, id, error);
    }
    return status;
}

/* --- readings ------------------------------------------------------------------------------- */

/* An unreadable cell has no colour, and NULL says so. */
static struct bound bound_if(bool readable, double value)
{
    return readable ? bound_real(value) : bound_text(NULL);
}

static void bound_covariance(bool readable, const double covariance[9], struct bound bound[6])
{
    static const int upper[6] = {0, 1, 2, 4, 5, 8};

    for (int i = 0; i < 6; i++)
        bound[i] = bound_if(readable, covariance[upper[i]]);
}

static enum status insert_reading(struct storing *storing, const struct reading *reading,
                                  long long cell_id, long long swatch_id, struct error *error)
{
    bool readable = reading->found != CELL_UNREADABLE;
    struct bound bound[22] = {bound_integer(storing->photo_id),
                              bound_integer(cell_id),
                              bound_id(swatch_id),
                              bound_text(words_of_found(reading->found)),
                              bound_if(readable, reading->lab.L),
                              bound_if(readable, reading->lab.a),
                              bound_if(readable, reading->lab.b),
                              bound_if(readable, reading->u95),
                              bound_if(readable, reading->evenness),
                              bound_integer(reading->flags)};
    const struct query insert = {
        "INSERT INTO reading (photo_id, cell_id, swatch_id, found, L, a, b, u95, evenness, flags,"
        " shared_LL, shared_La, shared_Lb, shared_aa, shared_ab, shared_bb,"
        " own_LL, own_La, own_Lb, own_aa, own_ab, own_bb)"
        " VALUES (?,?,?,?,?,?,?,?,?,?,?,?,?,?,?,?,?,?,?,?,?,?)",
        bound, COUNT(bound)};

    bound_covariance(readable, reading->covariance_shared, bound + 10);
    bound_covariance(readable, reading->covariance_own, bound + 16);
    return database_execute(storing->inventory, &insert, error);
}

static enum status add_reading(struct storing *storing, const struct reading *reading,
                               struct error *error)
{
    long long cell_id = 0, swatch_id = 0;
    enum status status = find_cell(storing, reading, &cell_id, error);

    if (!status)
        status = swatch_of_reading(storing, reading, cell_id, &swatch_id, error);
    if (!status)
        status = insert_reading(storing, reading, cell_id, swatch_id, error);
    return status;
}

enum status inventory_store(struct inventory *inventory, const struct inventory_entry *entry,
                            struct inventory_outcome *outcome, struct error *error)
{
    struct storing storing = {inventory, entry, 0, 0};
    int count = entry->measurement->chart.rows * entry->measurement->chart.columns;
    enum status status = database_begin(inventory, error);

    memset(outcome, 0, sizeof *outcome);
    if (status)
        return status;
    status = count_takes(&storing, &outcome->times_before, error);
    if (!status)
        status = find_chart(&storing, &outcome->chart_known, error);
    if (!status)
        status = add_photo(&storing, outcome->times_before + 1, error);
    for (int i = 0; !status && i < count; i++)
        status = add_reading(&storing, &entry->measurement->readings[i], error);
    outcome->readings = count;
    return database_end(inventory, status, error);
}
