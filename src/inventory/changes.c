#include "inventory/changes.h"

#include "base/nearest.h"
#include "base/utf8.h"
#include "change_log.h"
#include "copies.h"
#include "database.h"
#include "naming.h"
#include "inventory/known_names.h"
#include "values/calendar.h"
#include "base/memory.h"

#include <stdint.h>
#include <stdio.h>
#include <string.h>

/* --- whom it is told of --------------------------------------------------------------------- */

#define PHOTO_IS                                                                                   \
    "(NOT photo.forgotten AND (photo.hash = ?2 OR photo.path = ?2"                                 \
    " OR substr(photo.path, -length(?2) - 1) = '/' || ?2))"

#define COMBINATION_IS "NOT forgotten AND CAST(id AS TEXT) = ?2"

static const struct {
    const char *noun;
    const char *count; /* of those that `?2` tells */
    const char *names; /* of all */
    const char *lists; /* the command that lists them */
} things[] = {
    [INVENTORY_PHOTO] = {"photo", "SELECT count(DISTINCT hash) FROM photo WHERE " PHOTO_IS,
                         /* without the folders */
                         "SELECT DISTINCT replace(path, rtrim(path, replace(path, '/', '')), '')"
                         " FROM photo WHERE NOT forgotten",
                         "'woad export' lists photos with their hash"},
    [INVENTORY_INK] = {"ink", "SELECT count(*) FROM ink WHERE NOT forgotten AND name = ?2",
                       "SELECT name FROM ink WHERE NOT forgotten",
                       "'woad inks' lists those it holds"},
    [INVENTORY_CHART] = {"chart",
                         "SELECT count(DISTINCT chart.id) FROM chart JOIN photo ON"
                         " photo.chart_id = chart.id WHERE NOT photo.forgotten AND name = ?2",
                         "SELECT DISTINCT chart.name FROM chart JOIN photo ON"
                         " photo.chart_id = chart.id WHERE NOT photo.forgotten",
                         "'woad export' lists charts"},
    [INVENTORY_COMBINATION] = {"combination",
                               "SELECT count(*) FROM combination WHERE " COMBINATION_IS,
                               "SELECT id FROM combination WHERE NOT forgotten",
                               "'woad combinations' lists them with their numbers"},
};

/* What was meant, from the names that are there; empty if nothing is near. */
static enum status find_near(struct inventory *inventory, enum inventory_thing thing,
                             const char *name, char near[INVENTORY_PATH_SIZE], struct error *error)
{
    const struct query query = {things[thing].names, NULL, 0};
    struct nearest nearest = nearest_start(name);
    size_t least = SIZE_MAX;
    sqlite3_stmt *statement = NULL;
    bool row = true;
    enum status status = database_prepare(inventory, &query, &statement, error);

    near[0] = '\0';
    while (!status && row) {
        const char *there;

        status = database_step(inventory, statement, &row, error);
        if (status || !row)
            break;
        there = (const char *)sqlite3_column_text(statement, 0);
        nearest.best = NULL;
        nearest_offer(&nearest, there ? there : "");
        if (nearest.best && nearest.distance < least)
            snprintf(near, INVENTORY_PATH_SIZE, "%s", nearest.best);
        least = nearest.best ? nearest.distance : least;
    }
    sqlite3_finalize(statement);
    return status;
}

static enum status refuse_none(struct inventory *inventory, enum inventory_thing thing,
                               const char *name, struct error *error)
{
    char near[INVENTORY_PATH_SIZE];
    enum status status = find_near(inventory, thing, name, near, error);

    if (status)
        return status;
    if (near[0])
        return error_set(error, STATUS_INVENTORY,
                         "the inventory holds no %s '%.120s'; did you mean '%.200s'?",
                         things[thing].noun, name, near);
    return error_set(error, STATUS_INVENTORY, "the inventory holds no %s '%.120s'; %s",
                     things[thing].noun, name, things[thing].lists);
}

static enum status check_thing(struct inventory *inventory, enum inventory_thing thing,
                               const char *name, struct error *error)
{
    const struct bound bound[] = {bound_text(NULL), bound_text(name)};
    const struct query query = {things[thing].count, bound, COUNT(bound)};
    long long count = 0;
    enum status status = database_lookup(inventory, &query, &count, error);

    if (status || count == 1)
        return status;
    if (count == 0)
        return refuse_none(inventory, thing, name, error);
    return error_set(error, STATUS_INVENTORY,
                     "%lld photos are called '%.120s'; tell the one you mean by its whole path or "
                     "its hash, which 'woad export' prints",
                     count, name);
}

/* --- rename and merge ----------------------------------------------------------------------- */

/* An ink may be called by its own name in another case. */
#define TAKEN "SELECT count(*) FROM ink WHERE (folded = fold(?1) OR name = ?1) AND name <> ?2"

static enum status refuse_taken(struct inventory *inventory, const char *from, const char *to,
                                struct error *error)
{
    const struct bound names[] = {bound_text(to), bound_text(from)};
    const struct query there = {TAKEN, names, COUNT(names)};
    const struct query gone = {TAKEN " AND forgotten", names, COUNT(names)};
    long long taken = 0, forgotten = 0;
    enum status status = database_lookup(inventory, &there, &taken, error);

    if (!status)
        status = database_lookup(inventory, &gone, &forgotten, error);
    if (status || !taken)
        return status;
    if (forgotten)
        return error_set(error, STATUS_INVENTORY,
                         "the name '%.120s' is kept for an ink that was forgotten or merged; take "
                         "that back with 'woad undo', or choose another name",
                         to);
    return error_set(error, STATUS_INVENTORY,
                     "there is an ink '%.120s' already; if both are one ink, 'woad merge' hands "
                     "the readings of '%.120s' over to it",
                     to, from);
}

enum status inventory_rename(struct inventory *inventory, const char *from, const char *to,
                             struct inventory_told *told, struct error *error)
{
    static const struct change_setting settings[] = {
        {"ink", "folded", CHANGE_BY_ID, "fold(?1)", "name = ?2"},
        {"ink", "name", CHANGE_BY_ID, "?1", "name = ?2"},
        {"sheet_cell", "ink", CHANGE_BY_CELL, "?1", "fold(ink) = fold(?2)"},
    };
    char spelling[KNOWN_NAME_SIZE] = "", tidied[KNOWN_NAME_SIZE] = "";
    const struct bound bound[] = {bound_text(tidied), bound_text(spelling)};
    enum status status = database_begin(inventory, error);

    if (status)
        return status;
    status = known_names_spelling(inventory, KNOWN_INK, from, spelling, error);
    if (!utf8_tidy(to, tidied, sizeof tidied))
        snprintf(tidied, sizeof tidied, "%s", to);
    snprintf(told->text, sizeof told->text, "renamed the ink '%.200s' to '%.200s'", spelling,
             tidied);
    if (!status)
        status = check_thing(inventory, INVENTORY_INK, spelling, error);
    if (!status)
        status = refuse_taken(inventory, spelling, tidied, error);
    if (!status)
        status = change_log_add(inventory, told, error);
    if (!status)
        status = change_log_set_all(inventory, settings, COUNT(settings), bound, error);
    return database_end(inventory, status, error);
}

#define ID_OF_1 "(SELECT id FROM ink WHERE name = ?1)"
#define ID_OF_2 "(SELECT id FROM ink WHERE name = ?2)"

/* ?1 takes over, ?2 goes. A batch of a label that both have is one batch. */
static const struct change_setting merging[] = {
    {"swatch", "batch_id", CHANGE_BY_ID,
     "(SELECT other.id FROM batch AS own JOIN batch AS other ON other.label = own.label"
     " WHERE own.id = swatch.batch_id AND other.ink_id = " ID_OF_1 ")",
     "ink_id = " ID_OF_2 " AND batch_id IN (SELECT own.id FROM batch AS own JOIN batch AS other"
     " ON other.label = own.label WHERE other.ink_id = " ID_OF_1 ")"},
    {"swatch", "ink_id", CHANGE_BY_ID, ID_OF_1, "ink_id = " ID_OF_2},
    {"batch", "ink_id", CHANGE_BY_ID, ID_OF_1,
     "ink_id = " ID_OF_2 " AND label NOT IN (SELECT label FROM batch WHERE ink_id = " ID_OF_1 ")"},
    {"combination_ink", "ink_id", CHANGE_BY_POSITION, ID_OF_1, "ink_id = " ID_OF_2},
    {"blend", "first_ink_id", CHANGE_BY_ID, ID_OF_1, "first_ink_id = " ID_OF_2},
    {"blend", "second_ink_id", CHANGE_BY_ID, ID_OF_1, "second_ink_id = " ID_OF_2},
    /* its cells on printed sheets too, or a photo of one would bring back the ink that went */
    {"sheet_cell", "ink", CHANGE_BY_CELL, "?1", "fold(ink) = fold(?2)"},
    {"ink", "forgotten", CHANGE_BY_ID, "1", "name = ?2"},
};

static enum status refuse_merge(struct inventory *inventory, const struct bound bound[2],
                                struct error *error)
{
    static const char blends[] =
        "SELECT count(*) FROM blend WHERE (first_ink_id = " ID_OF_1 " AND second_ink_id = " ID_OF_2
        ") OR (first_ink_id = " ID_OF_2 " AND second_ink_id = " ID_OF_1 ")";
    const struct query query = {blends, bound, 2};
    long long count = 0;
    enum status status = STATUS_OK;

    if (strcmp(bound[0].text, bound[1].text) == 0)
        return error_set(error, STATUS_INVENTORY,
                         "'%.120s' can't be merged into itself; name the ink that goes, then the "
                         "one that stays",
                         bound[0].text);
    status = database_lookup(inventory, &query, &count, error);
    if (status || !count)
        return status;
    return error_set(error, STATUS_INVENTORY,
                     "a test blend of '%.120s' with '%.120s' is kept, so they are two inks; "
                     "nothing was changed",
                     bound[1].text, bound[0].text);
}

enum status inventory_merge(struct inventory *inventory, const char *ink, const char *into,
                            struct inventory_told *told, struct error *error)
{
    char goes[KNOWN_NAME_SIZE] = "", stays[KNOWN_NAME_SIZE] = "";
    const struct bound bound[] = {bound_text(stays), bound_text(goes)};
    enum status status = database_begin(inventory, error);

    if (status)
        return status;
    status = known_names_spelling(inventory, KNOWN_INK, ink, goes, error);
    if (!status)
        status = known_names_spelling(inventory, KNOWN_INK, into, stays, error);
    snprintf(told->text, sizeof told->text, "merged the ink '%.200s' into '%.200s'", goes, stays);
    if (!status)
        status = check_thing(inventory, INVENTORY_INK, goes, error);
    if (!status)
        status = check_thing(inventory, INVENTORY_INK, stays, error);
    if (!status)
        status = refuse_merge(inventory, bound, error);
    if (!status)
        status = change_log_add(inventory, told, error);
    if (!status)
        status = change_log_set_all(inventory, merging, COUNT(merging), bound, error);
    return database_end(inventory, status, error);
}

/* --- forget --------------------------------------------------------------------------------- */

/* Photos go by their files' names and combinations by numbers, which are taken as they are. */
static enum status spell_thing(struct inventory *inventory, enum inventory_thing thing,
                               const char *name, char spelling[KNOWN_NAME_SIZE],
                               struct error *error)
{
    if (thing == INVENTORY_INK || thing == INVENTORY_CHART)
        return known_names_spelling(inventory, thing == INVENTORY_INK ? KNOWN_INK : KNOWN_CHART,
                                    name, spelling, error);
    snprintf(spelling, KNOWN_NAME_SIZE, "%s", name);
    return STATUS_OK;
}

enum status inventory_forget(struct inventory *inventory, enum inventory_thing thing,
                             const char *name, struct inventory_told *told, struct error *error)
{
    static const struct change_setting photo = {"photo", "forgotten", CHANGE_BY_ID, "1", PHOTO_IS};
    static const struct change_setting chart = {
        "photo", "forgotten", CHANGE_BY_ID, "1",
        "NOT forgotten AND chart_id = (SELECT id FROM chart WHERE name = ?2)"};
    static const struct change_setting ink[] = {
        {"swatch", "forgotten", CHANGE_BY_ID, "1", "NOT forgotten AND ink_id = " ID_OF_2},
        {"ink", "forgotten", CHANGE_BY_ID, "1", "name = ?2"},
    };
    static const struct change_setting combination = {"combination", "forgotten", CHANGE_BY_ID, "1",
                                                      COMBINATION_IS};
    const struct change_setting *const settings[] = {[INVENTORY_PHOTO] = &photo,
                                                     [INVENTORY_INK] = ink,
                                                     [INVENTORY_CHART] = &chart,
                                                     [INVENTORY_COMBINATION] = &combination};
    char spelling[KNOWN_NAME_SIZE] = "";
    const struct bound bound[] = {bound_text(NULL), bound_text(spelling)};
    char kept[INVENTORY_PATH_SIZE];
    enum status status = spell_thing(inventory, thing, name, spelling, error);

    if (!status)
        status = check_thing(inventory, thing, spelling, error);
    if (!status)
        status = copies_keep(inventory, kept, error);
    if (!status)
        status = database_begin(inventory, error);
    if (status)
        return status;
    snprintf(told->text, sizeof told->text, "forgot the %s '%.400s'", things[thing].noun, spelling);
    status = check_thing(inventory, thing, spelling, error);
    if (!status)
        status = change_log_add(inventory, told, error);
    if (!status)
        status = change_log_set_all(inventory, settings[thing],
                                    thing == INVENTORY_INK ? COUNT(ink) : 1, bound, error);
    return database_end(inventory, status, error);
}

/* --- amend ---------------------------------------------------------------------------------- */

#define CHART_IS "(NOT photo.forgotten AND photo.chart_id = (SELECT id FROM chart WHERE name = ?2))"
#define SWATCH_OF(photo_is)                                                                        \
    "id IN (SELECT reading.swatch_id FROM reading JOIN photo ON photo.id = reading.photo_id"       \
    " WHERE " photo_is ")"

static const struct naming_of amended[] = {
    [INVENTORY_PHOTO] = {PHOTO_IS, SWATCH_OF(PHOTO_IS)},
    [INVENTORY_CHART] = {CHART_IS, SWATCH_OF(CHART_IS)},
};

/* The batch of those that have an ink, the label of those that wait for one. */
static enum status amend_batch(struct inventory *inventory,
                               const struct inventory_amendment *amendment, struct error *error)
{
    const char *where = amended[amendment->thing].swatches;
    char add[CHANGE_SQL_SIZE], unnamed[CHANGE_SQL_SIZE];
    const struct change_setting settings[] = {
        {"swatch", "batch_id", CHANGE_BY_ID,
         "(SELECT id FROM batch WHERE batch.ink_id = swatch.ink_id AND label = ?1)", where},
        {"swatch", "batch_told", CHANGE_BY_ID, "?1", unnamed},
    };
    const struct bound bound[] = {bound_text(amendment->batch), bound_text(amendment->name)};
    const struct query labels = {add, bound, COUNT(bound)};
    enum status status;

    if (!amendment->batch)
        return STATUS_OK;
    snprintf(add, sizeof add,
             "INSERT INTO batch (ink_id, label) SELECT DISTINCT ink_id, ?1 FROM swatch"
             " WHERE ink_id IS NOT NULL AND %s ON CONFLICT DO NOTHING",
             where);
    snprintf(unnamed, sizeof unnamed, "ink_id IS NULL AND %s", where);
    status = database_execute(inventory, &labels, error);
    return status ? status : change_log_set_all(inventory, settings, COUNT(settings), bound, error);
}

/* One column, if there is something to set it to. */
static enum status amend_column(struct inventory *inventory, const struct change_setting *setting,
                                struct bound value, const char *photo, struct error *error)
{
    const struct bound bound[] = {value, bound_text(photo)};

    return value.type == SQLITE_NULL ? STATUS_OK : change_log_set(inventory, setting, bound, error);
}

static enum status amend_columns(struct inventory *inventory,
                                 const struct inventory_amendment *amendment, struct error *error)
{
    const char *where = amended[amendment->thing].swatches;
    const struct change_setting settings[] = {
        {"swatch", "paper", CHANGE_BY_ID, "?1", where},
        {"swatch", "inked_utc_s", CHANGE_BY_ID, "?1", where},
        {"swatch", "inked_offset_min", CHANGE_BY_ID, "?1", where},
        {"photo", "taken_utc_s", CHANGE_BY_ID, "?1", PHOTO_IS},
        {"photo", "taken_offset_min", CHANGE_BY_ID, "?1", PHOTO_IS},
        {"photo", "taken_source", CHANGE_BY_ID, "?1", PHOTO_IS},
    };
    const struct bound values[] = {
        bound_text(amendment->paper),
        bound_time_seconds(&amendment->inked_at),
        bound_time_offset(&amendment->inked_at),
        bound_time_seconds(&amendment->taken),
        bound_time_offset(&amendment->taken),
        bound_text(amendment->taken.source == PHOTO_TIME_NONE ? NULL : "given"),
    };
    enum status status = STATUS_OK;

    for (int i = 0; !status && i < COUNT(settings); i++)
        status = amend_column(inventory, &settings[i], values[i], amendment->name, error);
    return status;
}

static void tell_amendment(const struct inventory_amendment *amendment, struct inventory_told *told)
{
    char inked[CALENDAR_TEXT_SIZE], taken[CALENDAR_TEXT_SIZE];

    calendar_format(&amendment->inked_at, inked);
    calendar_format(&amendment->taken, taken);
    snprintf(told->text, sizeof told->text, "amended the %s '%.200s':%s%s%.80s%s%s%.80s%s%s%s%s%s",
             things[amendment->thing].noun, amendment->name, amendment->names ? " names" : "",
             amendment->batch ? " batch '" : "", amendment->batch ? amendment->batch : "",
             amendment->batch ? "'" : "", amendment->paper ? " paper '" : "",
             amendment->paper ? amendment->paper : "", amendment->paper ? "'" : "",
             inked[0] ? " inked " : "", inked, taken[0] ? " taken " : "", taken);
}

enum status inventory_amend(struct inventory *inventory,
                            const struct inventory_amendment *told_amendment,
                            struct inventory_told *told, struct error *error)
{
    struct inventory_amendment amendment = *told_amendment;
    char spelling[KNOWN_NAME_SIZE] = "";
    enum status status = database_begin(inventory, error);

    if (status)
        return status;
    status = spell_thing(inventory, amendment.thing, amendment.name, spelling, error);
    amendment.name = spelling;
    tell_amendment(&amendment, told);
    if (!status)
        status = check_thing(inventory, amendment.thing, amendment.name, error);
    if (!status)
        status = change_log_add(inventory, told, error);
    if (!status && amendment.names)
        status = naming_amend(inventory, &amendment, &amended[amendment.thing], error);
    if (!status)
        status = amend_batch(inventory, &amendment, error);
    if (!status)
        status = amend_columns(inventory, &amendment, error);
    return database_end(inventory, status, error);
}
