#include "import_fields.h"

#include "base/nearest.h"
#include "base/text.h"
#include "base/utf8.h"
#include "values/calendar.h"
#include "files/names.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define TEXT_BYTES_MAX 1000
#define CELL_MAX 1000000

static const char *const place_names[PLACES] = {
    "ink",       "batch",     "chart",      "row",       "column",    "paper",  "inked_at",
    "taken",     "found",     "L",          "a",         "b",         "u95",    "unevenness",
    "flags",     "photo",     "photo_hash", "take",      "card",      "method", "shared_LL",
    "shared_La", "shared_Lb", "shared_aa",  "shared_ab", "shared_bb", "own_LL", "own_La",
    "own_Lb",    "own_aa",    "own_ab",     "own_bb"};

/* --- the header ----------------------------------------------------------------------------- */

static enum status place_column(struct importing *importing, size_t column)
{
    char *name = csv_field(importing->csv, 1, column);
    struct nearest nearest;

    csv_tidy(name);
    nearest = nearest_start(name);
    for (int i = 0; i < PLACES; i++) {
        nearest_offer(&nearest, place_names[i]);
        if (strcmp(name, place_names[i]) != 0 &&
            !(i == PLACE_UNEVENNESS &&
              strcmp(name, "evenness") == 0)) /* in exports of version 0.1 */
            continue;
        if (importing->column[i])
            return error_set(importing->error, STATUS_FORMAT,
                             "%s: the column '%s' stands twice; leave one out", importing->path,
                             name);
        importing->column[i] = column;
        return STATUS_OK;
    }
    return error_set(importing->error, STATUS_FORMAT,
                     "%s: '%.60s' is no column of readings%s%s%s; the first line names the columns "
                     "as 'woad export' does",
                     importing->path, name, nearest.best ? ", did you mean '" : "",
                     nearest.best ? nearest.best : "", nearest.best ? "'?" : "");
}

enum status import_place_columns(struct importing *importing)
{
    static const enum place wanted[] = {PLACE_INK, PLACE_L, PLACE_A, PLACE_B};
    enum status status = STATUS_OK;

    for (size_t i = 1; !status && i <= csv_width(importing->csv, 1); i++)
        status = place_column(importing, i);
    for (size_t i = 0; !status && i < sizeof wanted / sizeof *wanted; i++)
        if (!importing->column[wanted[i]])
            status = error_set(importing->error, STATUS_FORMAT,
                               "%s: has no column '%s'; ink, L, a and b are needed at least, named "
                               "in the first line",
                               importing->path, place_names[wanted[i]]);
    return status;
}

/* --- fields --------------------------------------------------------------------------------- */

const char *import_field(const struct importing *importing, int place)
{
    return importing->column[place]
               ? csv_field(importing->csv, importing->csv->line_count, importing->column[place])
               : "";
}

enum status import_refuse(const struct importing *importing, int place, const char *wanted)
{
    return error_set(importing->error, STATUS_FORMAT,
                     "%s: row %zu, %s: '%.60s' was found, %s was wanted; nothing was added",
                     importing->path, importing->line, place_names[place],
                     import_field(importing, place), wanted);
}

enum status import_number(const struct importing *importing, int place, double minimum,
                          double maximum, double *number)
{
    const char *text = import_field(importing, place);
    char *end;
    double value;

    if (!text[0])
        return STATUS_OK;
    value = strtod(text, &end);
    if (end == text || end[strspn(end, " ")] || !(value >= minimum && value <= maximum))
        return import_refuse(importing, place,
                             "a number in its range, with a point for the decimals,");
    *number = value;
    return STATUS_OK;
}

enum status import_count(const struct importing *importing, int place, int *count)
{
    double number = *count;
    enum status status = import_number(importing, place, 1, CELL_MAX, &number);

    if (!status && number != floor(number))
        status = import_refuse(importing, place, "a whole number");
    *count = (int)number;
    return status;
}

enum status import_time(const struct importing *importing, int place, struct photo_time *time)
{
    const char *text = import_field(importing, place);
    struct error reason;

    if (!text[0])
        return STATUS_OK;
    if (calendar_parse(text, time, &reason))
        return import_refuse(importing, place,
                             "a time as 2026-05-03 10:20 or 2026-05-03 10:20 +02:00");
    time->source = PHOTO_TIME_GIVEN;
    return STATUS_OK;
}

enum status import_text(const struct importing *importing, int place, const char *otherwise,
                        char **text)
{
    const char *found = import_field(importing, place);

    if (!utf8_is_plain(found))
        return import_refuse(importing, place, "plain text");
    if (strlen(found) > (place == PLACE_INK ? NAMES_INK_BYTES_MAX : TEXT_BYTES_MAX))
        return import_refuse(importing, place, "a shorter text");
    found = found[0] ? found : otherwise;
    *text = found ? text_copy(found, importing->error) : NULL;
    return found && !*text ? importing->error->status : STATUS_OK;
}
