#include "inventory/known_names.h"

#include "base/nearest.h"
#include "base/utf8.h"
#include "database.h"

#include <limits.h>
#include <stdio.h>
#include <string.h>

#define LISTED_MAX 4 /* slips told in one message */

/* Where names of a kind are kept. `same` finds the one that is the same as ?1, as it is spelt;
 * `all` lists those with ids up to ?1 that are in use. */
static const struct {
    const char *noun;
    const char *option; /* that takes it as new all the same */
    const char *same;
    const char *all;
} kinds[] = {
    [KNOWN_INK] = {"ink", "--new-inks",
                   "SELECT name FROM ink WHERE folded = fold(?1) OR name = ?1"
                   " ORDER BY name = ?1 DESC, forgotten, id LIMIT 1",
                   "SELECT name FROM ink WHERE NOT forgotten AND id <= ?1"},
    [KNOWN_CHART] = {"chart", "--new-chart",
                     "SELECT name FROM chart WHERE fold(name) = fold(?1)"
                     " ORDER BY name = ?1 DESC, id LIMIT 1",
                     "SELECT name FROM chart WHERE id <= ?1 AND EXISTS (SELECT 1 FROM photo"
                     " WHERE photo.chart_id = chart.id AND NOT photo.forgotten)"},
    [KNOWN_BATCH] = {"batch", "--new-batch",
                     "SELECT label FROM batch WHERE fold(label) = fold(?1)"
                     " ORDER BY label = ?1 DESC, id LIMIT 1",
                     "SELECT DISTINCT label FROM batch WHERE id <= ?1 AND EXISTS"
                     " (SELECT 1 FROM swatch"
                     " WHERE swatch.batch_id = batch.id AND NOT swatch.forgotten)"},
};

static enum status find_same(struct inventory *inventory, enum known_kind kind, const char *name,
                             char same[KNOWN_NAME_SIZE], struct error *error)
{
    const struct bound bound = bound_text(name);
    const struct query query = {kinds[kind].same, &bound, 1};

    return database_lookup_text(inventory, &query, same, KNOWN_NAME_SIZE, error);
}

enum status known_names_spelling(struct inventory *inventory, enum known_kind kind,
                                 const char *name, char spelling[KNOWN_NAME_SIZE],
                                 struct error *error)
{
    enum status status = find_same(inventory, kind, name, spelling, error);

    if (!status && !spelling[0] && !utf8_tidy(name, spelling, KNOWN_NAME_SIZE))
        snprintf(spelling, KNOWN_NAME_SIZE, "%s", name);
    return status;
}

/* --- slips ---------------------------------------------------------------------------------- */

/* The slips of one kind, on their way into one message. */
struct slips {
    enum known_kind kind;
    long long newest; /* id of those that are looked at */
    int count;
    char told[900];
};

/* The known name with an id up to `newest` that a new one looks like; empty if like none. */
static enum status find_meant(struct inventory *inventory, const struct slips *slips,
                              const char *name, char meant[KNOWN_NAME_SIZE], struct error *error)
{
    const struct bound newest = bound_integer(slips->newest);
    const struct query query = {kinds[slips->kind].all, &newest, 1};
    sqlite3_stmt *statement = NULL;
    bool row = true;
    enum status status = database_prepare(inventory, &query, &statement, error);

    meant[0] = '\0';
    while (!status && row && !meant[0]) {
        status = database_step(inventory, statement, &row, error);
        if (!status && row) {
            const char *there = (const char *)sqlite3_column_text(statement, 0);

            if (nearest_is_slip(name, there))
                snprintf(meant, KNOWN_NAME_SIZE, "%s", there);
        }
    }
    sqlite3_finalize(statement);
    return status;
}

static enum status look_at_name(struct inventory *inventory, const char *name, struct slips *slips,
                                struct error *error)
{
    char meant[KNOWN_NAME_SIZE];
    size_t length = strlen(slips->told);
    enum status status = find_meant(inventory, slips, name, meant, error);

    if (status || !meant[0])
        return status;
    if (slips->count++ < LISTED_MAX)
        snprintf(slips->told + length, sizeof slips->told - length,
                 "%s'%.90s' is a new %s: did you mean '%.90s'", length ? "? " : "", name,
                 kinds[slips->kind].noun, meant);
    return STATUS_OK;
}

/* A name that is known is no slip. */
static enum status look_at_new_name(struct inventory *inventory, const char *name,
                                    struct slips *slips, struct error *error)
{
    char same[KNOWN_NAME_SIZE];
    enum status status = find_same(inventory, slips->kind, name, same, error);

    return status || same[0] ? status : look_at_name(inventory, name, slips, error);
}

static enum status refuse_slips(const struct slips *slips, struct error *error)
{
    char more[64] = "";

    if (!slips->count)
        return STATUS_OK;
    if (slips->count > LISTED_MAX)
        snprintf(more, sizeof more, " And %d more like that.", slips->count - LISTED_MAX);
    return error_set(error, STATUS_INVENTORY, "%s?%s Mend it, or say with %s that it is meant",
                     slips->told, more, kinds[slips->kind].option);
}

static enum status check_inks(struct inventory *inventory, const struct names *names,
                              struct error *error)
{
    struct slips inks = {.kind = KNOWN_INK, .newest = LLONG_MAX};
    enum status status = STATUS_OK;

    for (int i = 0; !status && i < names->rows * names->columns; i++)
        if (names->cells[i].ink[0])
            status = look_at_new_name(inventory, names->cells[i].ink, &inks, error);
    return status ? status : refuse_slips(&inks, error);
}

static enum status check_one(struct inventory *inventory, enum known_kind kind, const char *name,
                             struct error *error)
{
    struct slips slips = {.kind = kind, .newest = LLONG_MAX};
    enum status status = look_at_new_name(inventory, name, &slips, error);

    return status ? status : refuse_slips(&slips, error);
}

enum status known_names_check_ink(struct inventory *inventory, const char *name, long long newest,
                                  struct error *error)
{
    struct slips slips = {.kind = KNOWN_INK, .newest = newest};
    enum status status = look_at_name(inventory, name, &slips, error);

    return status ? status : refuse_slips(&slips, error);
}

enum status known_names_check(struct inventory *inventory, const struct known_naming *naming,
                              struct error *error)
{
    enum status status = STATUS_OK;

    if (naming->chart && !naming->fresh.chart)
        status = check_one(inventory, KNOWN_CHART, naming->chart, error);
    if (!status && naming->batch && !naming->fresh.batch)
        status = check_one(inventory, KNOWN_BATCH, naming->batch, error);
    if (!status && naming->names && naming->names->cells && !naming->fresh.inks)
        status = check_inks(inventory, naming->names, error);
    return status;
}
