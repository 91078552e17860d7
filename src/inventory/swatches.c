#include "swatches.h"

#include "inventory/known_names.h"
#include "measurement/words.h"
#include "base/memory.h"

const char *swatches_time_source(const struct photo_time *time)
{
    static const char *const words[] = {[PHOTO_TIME_NONE] = "none",
                                        [PHOTO_TIME_EXIF] = "exif",
                                        [PHOTO_TIME_FILE] = "file",
                                        [PHOTO_TIME_GIVEN] = "given"};

    return words[time->source];
}

/* Run `insert`, which does nothing where the row is there already, then `select` its id. */
static enum status find_or_add(struct inventory *inventory, const struct query *insert,
                               const char *select, long long *id, struct error *error)
{
    struct query find = {select, insert->bound, insert->count};
    enum status status = database_execute(inventory, insert, error);

    return status ? status : database_lookup(inventory, &find, id, error);
}

/* --- cell, ink, batch, swatch --------------------------------------------------------------- */

enum status swatches_cell(struct inventory *inventory, long long chart_id,
                          const struct reading *reading, long long *id, struct error *error)
{
    const struct bound bound[] = {bound_integer(chart_id), bound_integer(reading->row),
                                  bound_integer(reading->column)};
    const struct query insert = {
        "INSERT INTO cell (chart_id, row, column) VALUES (?, ?, ?) ON CONFLICT DO NOTHING", bound,
        COUNT(bound)};

    return find_or_add(inventory, &insert,
                       "SELECT id FROM cell WHERE chart_id = ? AND row = ? AND column = ?", id,
                       error);
}

enum status swatches_ink(struct inventory *inventory, const char *name, long long *id,
                         struct error *error)
{
    char spelling[KNOWN_NAME_SIZE] = "";
    const struct bound bound = bound_text(spelling);
    /* measured anew, an ink that was forgotten is one again; its earlier swatches stay forgotten */
    const struct query insert = {"INSERT INTO ink (name, folded) VALUES (?1, fold(?1))"
                                 " ON CONFLICT (name) DO UPDATE SET forgotten = 0",
                                 &bound, 1};
    enum status status = known_names_spelling(inventory, KNOWN_INK, name, spelling, error);

    if (status)
        return status;
    return find_or_add(inventory, &insert, "SELECT id FROM ink WHERE name = ?", id, error);
}

/* The batch of an ink; 0 for no label (NULL). */
static enum status batch_of_ink(struct inventory *inventory, long long ink_id, const char *label,
                                long long *id, struct error *error)
{
    const struct bound bound[] = {bound_integer(ink_id), bound_text(label)};
    const struct query insert = {
        "INSERT INTO batch (ink_id, label) SELECT ?1, ?2 WHERE NOT EXISTS"
        " (SELECT 1 FROM batch WHERE ink_id = ?1 AND fold(label) = fold(?2))",
        bound, COUNT(bound)};

    *id = 0;
    if (!label)
        return STATUS_OK;
    return find_or_add(inventory, &insert,
                       "SELECT id FROM batch WHERE ink_id = ?1 AND fold(label) = fold(?2)"
                       " ORDER BY label = ?2 DESC, id",
                       id, error);
}

/* The swatch last kept for the cell ?1. */
#define LAST_SWATCH                                                                                \
    "(SELECT swatch.*, coalesce(batch.label, batch_told) AS label FROM swatch"                     \
    " LEFT JOIN batch ON batch.id = swatch.batch_id WHERE cell_id = ?1 AND NOT forgotten"          \
    " AND EXISTS (SELECT 1 FROM counted_reading WHERE swatch_id = swatch.id)"                      \
    " ORDER BY swatch.id DESC LIMIT 1)"

enum status swatches_last_ink(struct inventory *inventory, long long cell_id, long long *ink_id,
                              struct error *error)
{
    const struct bound cell = bound_integer(cell_id);
    const struct query query = {"SELECT ink_id FROM " LAST_SWATCH, &cell, 1};

    return database_lookup(inventory, &query, ink_id, error);
}

/* That swatch, unless something told speaks against it: see inventory.h. */
static const char same_swatch[] =
    "SELECT id FROM " LAST_SWATCH " AS last WHERE (ink_id IS ?2 OR ink_id IS NULL)"
    " AND (?3 IS NULL OR fold(label) IS fold(?3)) AND (?4 IS NULL OR paper IS ?4)"
    " AND (?5 IS NULL OR inked_utc_s IS ?5 OR (inked_utc_s IS NULL AND ?5 <="
    "  (SELECT min(photo.taken_utc_s) FROM reading JOIN photo ON photo.id = reading.photo_id"
    "   WHERE reading.swatch_id = last.id)))";

static enum status add_swatch(struct inventory *inventory, const struct swatch_told *told,
                              long long *id, struct error *error)
{
    long long batch_id = 0;
    enum status status = told->ink_id
                             ? batch_of_ink(inventory, told->ink_id, told->batch, &batch_id, error)
                             : STATUS_OK;
    const struct bound bound[] = {bound_integer(told->cell_id),
                                  bound_id(told->ink_id),
                                  bound_id(batch_id),
                                  bound_text(told->ink_id ? NULL : told->batch),
                                  bound_text(told->paper),
                                  bound_time_seconds(&told->inked_at),
                                  bound_time_offset(&told->inked_at)};
    const struct query insert = {"INSERT INTO swatch (cell_id, ink_id, batch_id, batch_told, paper,"
                                 " inked_utc_s, inked_offset_min) VALUES (?, ?, ?, ?, ?, ?, ?)",
                                 bound, COUNT(bound)};

    if (!status)
        status = database_execute(inventory, &insert, error);
    *id = sqlite3_last_insert_rowid(inventory->connection);
    return status;
}

/* Its batch becomes one of the ink's. */
static enum status name_swatch(struct inventory *inventory, long long id, long long ink_id,
                               struct error *error)
{
    const struct bound bound[] = {bound_integer(id), bound_integer(ink_id)};
    const struct query batch = {"INSERT INTO batch (ink_id, label) SELECT ?2, batch_told"
                                " FROM swatch WHERE id = ?1 AND batch_told IS NOT NULL"
                                " ON CONFLICT DO NOTHING",
                                bound, COUNT(bound)};
    const struct query name = {
        "UPDATE swatch SET ink_id = ?2, batch_id = (SELECT id FROM batch WHERE batch.ink_id = ?2"
        " AND label = batch_told), batch_told = NULL WHERE id = ?1 AND ink_id IS NULL",
        bound, COUNT(bound)};
    enum status status = database_execute(inventory, &batch, error);

    return status ? status : database_execute(inventory, &name, error);
}

/* The time of inking, told for the first time of a swatch that was read before. */
static enum status tell_late(struct inventory *inventory, long long id,
                             const struct swatch_told *told, struct error *error)
{
    const struct bound bound[] = {bound_integer(id), bound_time_seconds(&told->inked_at),
                                  bound_time_offset(&told->inked_at)};
    const struct query late = {"UPDATE swatch SET inked_utc_s = ?2, inked_offset_min = ?3"
                               " WHERE id = ?1 AND inked_utc_s IS NULL",
                               bound, COUNT(bound)};

    return database_execute(inventory, &late, error);
}

enum status swatches_swatch(struct inventory *inventory, const struct swatch_told *told,
                            long long *id, struct error *error)
{
    const struct bound bound[] = {bound_integer(told->cell_id), bound_id(told->ink_id),
                                  bound_text(told->batch), bound_text(told->paper),
                                  bound_time_seconds(&told->inked_at)};
    const struct query find = {same_swatch, bound, COUNT(bound)};
    enum status status = database_lookup(inventory, &find, id, error);

    if (status)
        return status;
    if (!*id)
        return add_swatch(inventory, told, id, error);
    status = tell_late(inventory, *id, told, error);
    if (status)
        return status;
    return told->ink_id ? name_swatch(inventory, *id, told->ink_id, error) : STATUS_OK;
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

enum status swatches_add_reading(struct inventory *inventory, const struct reading *reading,
                                 const struct reading_place *place, struct error *error)
{
    bool readable = reading->found != CELL_UNREADABLE;
    struct bound bound[22] = {bound_integer(place->photo_id),
                              bound_integer(place->cell_id),
                              bound_id(place->swatch_id),
                              bound_text(words_of_found(reading->found)),
                              bound_if(readable, reading->lab.L),
                              bound_if(readable, reading->lab.a),
                              bound_if(readable, reading->lab.b),
                              bound_if(readable, reading->u95),
                              bound_if(readable, reading->unevenness),
                              bound_integer(reading->flags)};
    const struct query insert = {
        "INSERT INTO reading (photo_id, cell_id, swatch_id, found, L, a, b, u95, unevenness, flags,"
        " shared_LL, shared_La, shared_Lb, shared_aa, shared_ab, shared_bb,"
        " own_LL, own_La, own_Lb, own_aa, own_ab, own_bb)"
        " VALUES (?,?,?,?,?,?,?,?,?,?,?,?,?,?,?,?,?,?,?,?,?,?)",
        bound, COUNT(bound)};

    bound_covariance(readable, reading->covariance_shared, bound + 10);
    bound_covariance(readable, reading->covariance_own, bound + 16);
    return database_execute(inventory, &insert, error);
}
