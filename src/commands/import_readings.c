#include "import_readings.h"

#include "base/memory.h"
#include "base/nearest.h"
#include "base/text.h"
#include "base/utf8.h"
#include "files/clock.h"
#include "files/content.h"
#include "files/csv.h"
#include "measurement/uncertainty.h"
#include "measurement/words.h"
#include "values/linear.h"

#include <errno.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#define IMPORT_BYTES_MAX ((size_t)256 * 1024 * 1024)
#define TEXT_BYTES_MAX 1000
#define CELL_MAX 1000000
#define RADIUS_95 2.795483482915108 /* of a normal of deviation 1 in three directions */

enum place {
    PLACE_INK,
    PLACE_BATCH,
    PLACE_CHART,
    PLACE_ROW,
    PLACE_COLUMN,
    PLACE_PAPER,
    PLACE_INKED_AT,
    PLACE_TAKEN,
    PLACE_FOUND,
    PLACE_L,
    PLACE_A,
    PLACE_B,
    PLACE_U95,
    PLACE_EVENNESS,
    PLACE_FLAGS,
    PLACE_PHOTO,
    PLACE_HASH,
    PLACE_TAKE,
    PLACE_CARD,
    PLACE_METHOD,
    PLACE_SHARED,
    PLACE_OWN = PLACE_SHARED + 6,
    PLACES = PLACE_OWN + 6
};

static const char *const place_names[PLACES] = {
    "ink",       "batch",     "chart",      "row",       "column",    "paper",  "inked_at",
    "taken",     "found",     "L",          "a",         "b",         "u95",    "evenness",
    "flags",     "photo",     "photo_hash", "take",      "card",      "method", "shared_LL",
    "shared_La", "shared_Lb", "shared_aa",  "shared_ab", "shared_bb", "own_LL", "own_La",
    "own_Lb",    "own_aa",    "own_ab",     "own_bb"};

struct importing {
    const char *path;
    const char *name; /* the file's own name, without its folder and ending */
    char hash[33];
    struct csv csv;
    size_t column[PLACES]; /* where in the file; 0: not there */
    size_t line;
    struct import_gaps *gaps;
    struct error *error;
};

/* --- the header ----------------------------------------------------------------------------- */

static enum status place_column(struct importing *importing, size_t column)
{
    char *name = csv_field(&importing->csv, 1, column);
    struct nearest nearest;

    csv_tidy(name);
    nearest = nearest_start(name);
    for (int i = 0; i < PLACES; i++) {
        nearest_offer(&nearest, place_names[i]);
        if (strcmp(name, place_names[i]) != 0)
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

static enum status place_columns(struct importing *importing)
{
    static const enum place wanted[] = {PLACE_INK, PLACE_L, PLACE_A, PLACE_B};
    enum status status = STATUS_OK;

    if (!importing->csv.line_count)
        return error_set(importing->error, STATUS_FORMAT,
                         "%s: is empty; a first line with the names of the columns is wanted",
                         importing->path);
    for (size_t i = 1; !status && i <= csv_width(&importing->csv, 1); i++)
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

static const char *field(const struct importing *importing, int place)
{
    return importing->column[place]
               ? csv_field(&importing->csv, importing->line, importing->column[place])
               : "";
}

static enum status refuse(const struct importing *importing, int place, const char *wanted)
{
    return error_set(importing->error, STATUS_FORMAT,
                     "%s: row %zu, %s: '%.60s' was found, %s was wanted; nothing was added",
                     importing->path, importing->line, place_names[place], field(importing, place),
                     wanted);
}

/* An empty field leaves `number` as it is. */
static enum status read_number(const struct importing *importing, int place, double minimum,
                               double maximum, double *number)
{
    const char *text = field(importing, place);
    char *end;
    double value;

    if (!text[0])
        return STATUS_OK;
    value = strtod(text, &end);
    if (end == text || end[strspn(end, " ")] || !(value >= minimum && value <= maximum))
        return refuse(importing, place, "a number in its range, with a point for the decimals,");
    *number = value;
    return STATUS_OK;
}

static enum status read_count(const struct importing *importing, int place, int *count)
{
    double number = *count;
    enum status status = read_number(importing, place, 1, CELL_MAX, &number);

    if (!status && number != floor(number))
        status = refuse(importing, place, "a whole number");
    *count = (int)number;
    return status;
}

static enum status read_time(const struct importing *importing, int place, struct photo_time *time)
{
    const char *text = field(importing, place);
    struct error reason;

    if (!text[0])
        return STATUS_OK;
    if (clock_parse(text, time, &reason))
        return refuse(importing, place, "a time as 2026-05-03 10:20 or 2026-05-03 10:20 +02:00");
    time->source = PHOTO_TIME_GIVEN;
    return STATUS_OK;
}

/* Copy a text; an empty one becomes `otherwise`, which may be NULL. */
static enum status read_text(const struct importing *importing, int place, const char *otherwise,
                             char **text)
{
    const char *found = field(importing, place);

    for (const char *at = found; *at;)
        if (utf8_is_control(utf8_next(&at)))
            return refuse(importing, place, "plain text");
    if (strlen(found) > (place == PLACE_INK ? NAMES_INK_BYTES_MAX : TEXT_BYTES_MAX))
        return refuse(importing, place, "a shorter text");
    found = found[0] ? found : otherwise;
    *text = found ? text_copy(found, importing->error) : NULL;
    return found && !*text ? importing->error->status : STATUS_OK;
}

/* --- one reading ---------------------------------------------------------------------------- */

static enum status read_found(const struct importing *importing, enum cell_found *found)
{
    const char *word = field(importing, PLACE_FOUND);

    *found = word[0] ? words_to_found(word) : CELL_INK;
    if (word[0] && strcmp(words_of_found(*found), word) != 0)
        return refuse(importing, PLACE_FOUND, "ink, empty or unreadable");
    return STATUS_OK;
}

static enum status read_colour(const struct importing *importing, struct lab *lab)
{
    double *const values[3] = {&lab->L, &lab->a, &lab->b};
    enum status status = STATUS_OK;

    for (int i = 0; !status && i < 3; i++) {
        if (!field(importing, PLACE_L + i)[0])
            return refuse(importing, PLACE_L + i, "a number");
        status = read_number(importing, PLACE_L + i, i ? -200 : -5, i ? 200 : 120, values[i]);
    }
    return status;
}

static enum status read_covariance(const struct importing *importing, int place,
                                   double covariance[9])
{
    static const int at[6] = {0, 1, 2, 4, 5, 8};
    enum status status = STATUS_OK;

    for (int i = 0; !status && i < 6; i++)
        status = read_number(importing, place + i, -1e4, 1e4, &covariance[at[i]]);
    covariance[3] = covariance[1];
    covariance[6] = covariance[2];
    covariance[7] = covariance[5];
    return status;
}

/* A radius alone tells of no direction: the error is taken to be alike in all, and its own. */
static void spread_radius(struct reading *reading)
{
    double metric[9], inverse[9];
    double deviation = reading->u95 / RADIUS_95;

    colour_metric(reading->lab, metric);
    linear_invert_3x3(metric, inverse);
    for (int i = 0; i < 9; i++)
        reading->covariance_own[i] = deviation * deviation * inverse[i];
}

static void complete_uncertainty(const struct importing *importing, struct reading *reading)
{
    bool radius = field(importing, PLACE_U95)[0], matrices = false;
    double sum[9];

    for (int i = PLACE_SHARED; i < PLACES; i++)
        matrices = matrices || field(importing, i)[0];
    if (radius && !matrices)
        spread_radius(reading);
    for (int i = 0; i < 9; i++)
        sum[i] = reading->covariance_own[i] + reading->covariance_shared[i];
    if (!radius && matrices)
        reading->u95 = uncertainty_radius_95(reading->lab, sum);
    importing->gaps->no_uncertainty += !radius && !matrices;
}

static enum status read_values(const struct importing *importing, struct reading *reading)
{
    enum status status = read_colour(importing, &reading->lab);

    if (!status)
        status = read_number(importing, PLACE_U95, 0, 1000, &reading->u95);
    if (!status)
        status = read_number(importing, PLACE_EVENNESS, 0, 1000, &reading->evenness);
    if (!status)
        status = read_covariance(importing, PLACE_SHARED, reading->covariance_shared);
    if (!status)
        status = read_covariance(importing, PLACE_OWN, reading->covariance_own);
    if (!status)
        complete_uncertainty(importing, reading);
    return status;
}

static enum status read_reading(const struct importing *importing, struct reading *reading)
{
    enum status status = read_found(importing, &reading->found);

    reading->row = (int)importing->line - 1;
    reading->column = 1;
    if (!status)
        status = read_count(importing, PLACE_ROW, &reading->row);
    if (!status)
        status = read_count(importing, PLACE_COLUMN, &reading->column);
    if (!status && !words_to_flags(field(importing, PLACE_FLAGS), &reading->flags))
        status = refuse(importing, PLACE_FLAGS, "flags as 'woad export' prints them");
    if (!status && reading->found != CELL_UNREADABLE)
        status = read_values(importing, reading);
    return status;
}

static enum status read_origin(const struct importing *importing, struct inventory_reading *kept)
{
    enum status status = read_text(importing, PLACE_PHOTO, importing->path, &kept->photo);

    if (!status)
        status = read_text(importing, PLACE_HASH, importing->hash, &kept->hash);
    if (!status)
        status = read_text(importing, PLACE_CARD, NULL, &kept->card);
    if (!status)
        status = read_text(importing, PLACE_METHOD, "imported", &kept->method);
    kept->take = 1;
    if (!status)
        status = read_count(importing, PLACE_TAKE, &kept->take);
    if (!status)
        status = read_time(importing, PLACE_TAKEN, &kept->taken);
    if (!status)
        status = read_time(importing, PLACE_INKED_AT, &kept->inked_at);
    return status;
}

static enum status read_line(struct importing *importing, struct inventory_reading *kept)
{
    enum status status;

    if (csv_width(&importing->csv, importing->line) != csv_width(&importing->csv, 1))
        return error_set(importing->error, STATUS_FORMAT,
                         "%s: row %zu has %zu fields, the first line names %zu; nothing was added",
                         importing->path, importing->line,
                         csv_width(&importing->csv, importing->line),
                         csv_width(&importing->csv, 1));
    csv_tidy(csv_field(&importing->csv, importing->line, importing->column[PLACE_INK]));
    status = read_text(importing, PLACE_INK, NULL, &kept->ink);
    if (!status)
        status = read_text(importing, PLACE_BATCH, NULL, &kept->batch);
    if (!status)
        status = read_text(importing, PLACE_PAPER, NULL, &kept->paper);
    if (!status)
        status = read_text(importing, PLACE_CHART, importing->name, &kept->chart);
    if (!status)
        status = read_origin(importing, kept);
    if (!status)
        status = read_reading(importing, &kept->reading);
    if (!status && !kept->ink && kept->reading.found == CELL_INK)
        status = refuse(importing, PLACE_INK, "the ink's name");
    return status;
}

/* --- the file ------------------------------------------------------------------------------- */

static enum status read_lines(struct importing *importing, struct inventory_readings *readings)
{
    enum status status = STATUS_OK;

    readings->capacity = importing->csv.line_count;
    readings->items =
        memory_array(readings->capacity, sizeof *readings->items, "the readings", importing->error);
    if (!readings->items)
        return importing->error->status;
    for (importing->line = 2; !status && importing->line <= importing->csv.line_count;
         importing->line++)
        status = read_line(importing, &readings->items[readings->count++]);
    return status;
}

/* The file's name without folder and ending, as the caller's to free. */
static char *base_name(const char *path, struct error *error)
{
    const char *slash = strrchr(path, '/');
    char *name = text_copy(slash ? slash + 1 : path, error);
    char *dot = name ? strrchr(name, '.') : NULL;

    if (dot && dot != name)
        *dot = '\0';
    return name;
}

static enum status hash_file(const char *path, char hash[33], struct error *error)
{
    struct content content;
    enum status status = content_open(path, &content, error);

    if (status)
        return status;
    memcpy(hash, content.hash, sizeof content.hash);
    content_release(&content);
    return STATUS_OK;
}

enum status import_readings(const char *path, struct inventory_readings *readings,
                            struct import_gaps *gaps, struct error *error)
{
    const struct csv_source source = {path, "file of readings", IMPORT_BYTES_MAX};
    struct importing importing = {.path = path, .gaps = gaps, .error = error};
    char *name = NULL;
    enum status status = csv_read(&source, &importing.csv, error);

    memset(readings, 0, sizeof *readings);
    memset(gaps, 0, sizeof *gaps);
    if (!status)
        status = place_columns(&importing);
    if (!status)
        status = hash_file(path, importing.hash, error);
    if (!status) {
        importing.name = name = base_name(path, error);
        status = name ? read_lines(&importing, readings) : error->status;
    }
    if (status)
        inventory_readings_release(readings);
    free(name);
    csv_release(&importing.csv);
    return status;
}
