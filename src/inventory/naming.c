#include "naming.h"

#include "change_log.h"
#include "inventory/known_names.h"
#include "swatches.h"
#include "base/memory.h"

#include <stdio.h>

#define WHERE_SIZE 1024

/* --- before --------------------------------------------------------------------------------- */

/* One number about the photos it is told of. */
static enum status ask(struct inventory *inventory, const struct inventory_amendment *amendment,
                       const struct naming_of *of, const char *what, long long *number,
                       struct error *error)
{
    char sql[WHERE_SIZE];
    const struct bound bound[] = {bound_text(NULL), bound_text(amendment->name)};
    const struct query query = {sql, bound, COUNT(bound)};

    snprintf(sql, sizeof sql,
             "SELECT %s FROM photo JOIN chart ON chart.id = photo.chart_id WHERE %s", what,
             of->photos);
    return database_lookup(inventory, &query, number, error);
}

static enum status check_shape(struct inventory *inventory,
                               const struct inventory_amendment *amendment,
                               const struct naming_of *of, struct error *error)
{
    const struct names *names = amendment->names;
    long long charts = 0, rows = 0, columns = 0;
    enum status status = ask(inventory, amendment, of, "count(DISTINCT chart_id)", &charts, error);

    if (!status)
        status = ask(inventory, amendment, of, "max(rows)", &rows, error);
    if (!status)
        status = ask(inventory, amendment, of, "max(columns)", &columns, error);
    if (status)
        return status;
    if (charts > 1)
        return error_set(error, STATUS_INVENTORY,
                         "'%.120s' shows %lld charts; name the cells of each by the chart's name",
                         amendment->name, charts);
    if (rows != names->rows || columns != names->columns)
        return error_set(error, STATUS_INVENTORY,
                         "the names lay out %d rows x %d columns of cells, '%.120s' is kept with "
                         "%lld x %lld; mend the names file",
                         names->rows, names->columns, amendment->name, rows, columns);
    return STATUS_OK;
}

/* --- one cell ------------------------------------------------------------------------------- */

/* An ink that comes in by this change, or comes back, goes again when it is taken back. */
static enum status ink_of(struct inventory *inventory, const struct name *name, long long *ink_id,
                          struct error *error)
{
    char spelling[KNOWN_NAME_SIZE], undo[96];
    const struct bound bound = bound_text(spelling);
    const struct query in_use = {"SELECT id FROM ink WHERE name = ? AND NOT forgotten", &bound, 1};
    long long before = 0;
    enum status status;

    *ink_id = 0;
    if (!name->ink[0])
        return STATUS_OK;
    status = known_names_spelling(inventory, KNOWN_INK, name->ink, spelling, error);
    if (!status)
        status = database_lookup(inventory, &in_use, &before, error);
    if (!status)
        status = swatches_ink(inventory, spelling, ink_id, error);
    if (status || before)
        return status;
    snprintf(undo, sizeof undo, "UPDATE ink SET forgotten = 1 WHERE id = %lld", *ink_id);
    return change_log_undo_by(inventory, undo, error);
}

/* What a swatch's batch is called: as told now (?1), else as before. */
#define LABEL                                                                                      \
    "coalesce(?1, (SELECT old.label FROM batch AS old WHERE old.id = swatch.batch_id),"            \
    " swatch.batch_told)"

/* The ink's own batch of that label. The batch is set before the ink, for `where` asks for it. */
static enum status set_ink(struct inventory *inventory, long long ink_id, const char *where,
                           const struct bound bound[2], struct error *error)
{
    char add[CHANGE_SQL_SIZE], batch[WHERE_SIZE], ink[32];
    const struct change_setting settings[] = {
        {"swatch", "batch_id", CHANGE_BY_ID, batch, where},
        {"swatch", "batch_told", CHANGE_BY_ID, "NULL", where},
        {"swatch", "ink_id", CHANGE_BY_ID, ink, where},
    };
    const struct query labels = {add, bound, 2};
    enum status status;

    snprintf(add, sizeof add,
             "INSERT INTO batch (ink_id, label) SELECT DISTINCT %lld, " LABEL " FROM swatch"
             " WHERE " LABEL " IS NOT NULL AND %s ON CONFLICT DO NOTHING",
             ink_id, where);
    snprintf(batch, sizeof batch,
             "(SELECT batch.id FROM batch WHERE batch.ink_id = %lld AND batch.label = " LABEL ")",
             ink_id);
    snprintf(ink, sizeof ink, "%lld", ink_id);
    status = database_execute(inventory, &labels, error);
    return status ? status : change_log_set_all(inventory, settings, COUNT(settings), bound, error);
}

static enum status unset_ink(struct inventory *inventory, const char *where,
                             const struct bound bound[2], struct error *error)
{
    const struct change_setting settings[] = {
        {"swatch", "batch_told", CHANGE_BY_ID, LABEL, where},
        {"swatch", "batch_id", CHANGE_BY_ID, "NULL", where},
        {"swatch", "ink_id", CHANGE_BY_ID, "NULL", where},
    };

    return change_log_set_all(inventory, settings, COUNT(settings), bound, error);
}

static enum status set_inked(struct inventory *inventory, const struct photo_time *inked_at,
                             const char *where, const char *name, struct error *error)
{
    const struct change_setting seconds = {"swatch", "inked_utc_s", CHANGE_BY_ID, "?1", where};
    const struct change_setting offset = {"swatch", "inked_offset_min", CHANGE_BY_ID, "?1", where};
    const struct bound bound[][2] = {{bound_time_seconds(inked_at), bound_text(name)},
                                     {bound_time_offset(inked_at), bound_text(name)}};
    enum status status;

    if (inked_at->source == PHOTO_TIME_NONE)
        return STATUS_OK;
    status = change_log_set(inventory, &seconds, bound[0], error);
    return status ? status : change_log_set(inventory, &offset, bound[1], error);
}

static enum status name_cell(struct inventory *inventory,
                             const struct inventory_amendment *amendment,
                             const struct naming_of *of, int cell, struct error *error)
{
    const struct name *name = &amendment->names->cells[cell];
    const struct bound bound[] = {bound_text(name->batch[0] ? name->batch : NULL),
                                  bound_text(amendment->name)};
    char here[WHERE_SIZE], changed[WHERE_SIZE + 64];
    long long ink_id = 0;
    enum status status = ink_of(inventory, name, &ink_id, error);

    snprintf(here, sizeof here,
             "%s AND cell_id IN (SELECT id FROM cell WHERE row = %d AND column = %d)", of->swatches,
             cell / amendment->names->columns + 1, cell % amendment->names->columns + 1);
    snprintf(changed, sizeof changed, "%s AND (ink_id IS NOT nullif(%lld, 0) OR ?1 IS NOT NULL)",
             here, ink_id);
    if (!status)
        status = set_inked(inventory, &name->inked_at, here, amendment->name, error);
    if (status)
        return status;
    return ink_id ? set_ink(inventory, ink_id, changed, bound, error)
                  : unset_ink(inventory, changed, bound, error);
}

/* --- all of it ------------------------------------------------------------------------------ */

/* An ink that has lost its last swatch to another name was none. */
static enum status forget_left_over(struct inventory *inventory, const char *name,
                                    struct error *error)
{
    static const struct change_setting left_over = {
        "ink", "forgotten", CHANGE_BY_ID, "1",
        "?2 IS NOT NULL AND NOT forgotten"
        " AND NOT EXISTS (SELECT 1 FROM swatch WHERE swatch.ink_id = ink.id)"
        " AND NOT EXISTS (SELECT 1 FROM combination_ink WHERE combination_ink.ink_id = ink.id)"
        " AND NOT EXISTS (SELECT 1 FROM blend WHERE ink.id IN (first_ink_id, second_ink_id))"};
    const struct bound bound[] = {bound_text(NULL), bound_text(name)};

    return change_log_set(inventory, &left_over, bound, error);
}

enum status naming_amend(struct inventory *inventory, const struct inventory_amendment *amendment,
                         const struct naming_of *of, struct error *error)
{
    const struct known_naming naming = {amendment->names, NULL, NULL, amendment->fresh};
    enum status status = check_shape(inventory, amendment, of, error);

    if (!status)
        status = known_names_check(inventory, &naming, error);
    for (int i = 0; !status && i < amendment->names->rows * amendment->names->columns; i++)
        status = name_cell(inventory, amendment, of, i, error);
    return status ? status : forget_left_over(inventory, amendment->name, error);
}
