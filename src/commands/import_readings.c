#include "import_readings.h"

#include "base/memory.h"
#include "base/text.h"
#include "files/content.h"
#include "import_fields.h"
#include "measurement/radius.h"
#include "measurement/words.h"
#include "values/linear.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define IMPORT_BYTES_MAX ((size_t)4 * 1024 * 1024 * 1024)
#define HASH_SIZE 64
/* L* of what reflects is 0 to 100; what is measured strays a little past, by noise and by inks that
   fluoresce. How far is common practice, no source. */
#define LIGHTNESS_MIN (-2)
#define LIGHTNESS_MAX 110
/* By rounding in the file a covariance may miss being one, by so much of its own size, and so much.
 */
#define COVARIANCE_SLACK 0.01
#define COVARIANCE_SLACK_LEAST 3e-6
#define RADIUS_95 2.795483482915108 /* of a normal of deviation 1 in three directions */

/* --- one reading ---------------------------------------------------------------------------- */

static enum status read_found(const struct importing *importing, enum cell_found *found)
{
    const char *word = import_field(importing, PLACE_FOUND);

    *found = word[0] ? words_to_found(word) : CELL_INK;
    if (word[0] && strcmp(words_of_found(*found), word) != 0)
        return import_refuse(importing, PLACE_FOUND, "ink, empty or unreadable");
    return STATUS_OK;
}

static enum status read_colour(const struct importing *importing, struct lab *lab)
{
    double *const values[3] = {&lab->L, &lab->a, &lab->b};
    enum status status = STATUS_OK;

    for (int i = 0; !status && i < 3; i++) {
        if (!import_field(importing, PLACE_L + i)[0])
            return import_refuse(importing, PLACE_L + i, "a number");
        status = import_number(importing, PLACE_L + i, i ? -200 : LIGHTNESS_MIN,
                               i ? 200 : LIGHTNESS_MAX, values[i]);
    }
    return status;
}

/* No error has a variance below 0 in any direction. */
static enum status check_covariance(const struct importing *importing, int place,
                                    const double covariance[9])
{
    enum status status;
    double widened[9], logarithm;
    double slack = COVARIANCE_SLACK * (covariance[0] + covariance[4] + covariance[8]) / 3 +
                   COVARIANCE_SLACK_LEAST;

    for (int i = 0; i < 9; i++)
        widened[i] = covariance[i] + (i % 4 ? 0 : slack);
    status = linear_log_determinant(widened, 3, &logarithm, importing->error);
    if (status != STATUS_NOT_FOUND)
        return status;
    return import_refuse(importing, place, "with the five columns behind it a covariance");
}

static enum status read_covariance(const struct importing *importing, int place,
                                   double covariance[9])
{
    static const int at[6] = {0, 1, 2, 4, 5, 8};
    enum status status = STATUS_OK;

    for (int i = 0; !status && i < 6; i++)
        status = import_number(importing, place + i, at[i] % 4 ? -1e4 : 0, 1e4, &covariance[at[i]]);
    covariance[3] = covariance[1];
    covariance[6] = covariance[2];
    covariance[7] = covariance[5];
    return status ? status : check_covariance(importing, place, covariance);
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
    bool radius = reading->u95 > 0, matrices = false; /* no measurement is exact: 0 tells nothing */
    double sum[9];

    for (int i = 0; i < 9; i++) {
        sum[i] = reading->covariance_own[i] + reading->covariance_shared[i];
        matrices = matrices || sum[i] != 0;
    }
    if (radius && !matrices)
        spread_radius(reading);
    if (!radius && matrices)
        reading->u95 = radius_95(reading->lab, sum);
    importing->gaps->no_uncertainty += !radius && !matrices;
}

static enum status read_values(const struct importing *importing, struct reading *reading)
{
    enum status status = read_colour(importing, &reading->lab);

    if (!status)
        status = import_number(importing, PLACE_U95, 0, 1000, &reading->u95);
    if (!status)
        status = import_number(importing, PLACE_UNEVENNESS, 0, 1000, &reading->unevenness);
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
        status = import_count(importing, PLACE_ROW, &reading->row);
    if (!status)
        status = import_count(importing, PLACE_COLUMN, &reading->column);
    if (!status && !words_to_flags(import_field(importing, PLACE_FLAGS), &reading->flags))
        status = import_refuse(importing, PLACE_FLAGS, "flags as 'woad export' prints them");
    if (!status && reading->found != CELL_UNREADABLE)
        status = read_values(importing, reading);
    return status;
}

static enum status read_origin(const struct importing *importing, struct inventory_reading *kept)
{
    enum status status = import_time(importing, PLACE_TAKEN, &kept->taken);
    char hash[HASH_SIZE];

    /* what was not taken at one time is not one photo */
    snprintf(hash, sizeof hash, "%s@%lld", importing->hash, (long long)kept->taken.utc_seconds);
    if (!status)
        status = import_text(importing, PLACE_PHOTO, importing->path, &kept->photo);
    if (!status)
        status = import_text(importing, PLACE_HASH, hash, &kept->hash);
    if (!status)
        status = import_text(importing, PLACE_METHOD, "imported", &kept->method);
    kept->take = 1;
    if (!status)
        status = import_count(importing, PLACE_TAKE, &kept->take);
    if (!status)
        status = import_time(importing, PLACE_INKED_AT, &kept->inked_at);
    return status;
}

static enum status read_line(struct importing *importing, struct inventory_reading *kept)
{
    const struct {
        int place;
        char **text;
    } texts[] = {{PLACE_INK, &kept->ink},
                 {PLACE_BATCH, &kept->batch},
                 {PLACE_PAPER, &kept->paper},
                 {PLACE_CARD, &kept->card}};
    size_t fields = csv_width(importing->csv, importing->csv->line_count);
    size_t named = csv_width(importing->csv, 1);
    enum status status;

    if (fields != named)
        return error_set(importing->error, STATUS_FORMAT,
                         "%s: row %zu has %zu fields, the first line names %zu; nothing was added",
                         importing->path, importing->line, fields, named);
    csv_tidy(csv_field(importing->csv, importing->csv->line_count, importing->column[PLACE_INK]));
    status = import_text(importing, PLACE_CHART, importing->name, &kept->chart);
    for (size_t i = 0; !status && i < sizeof texts / sizeof *texts; i++)
        status = import_text(importing, texts[i].place, NULL, texts[i].text);
    if (!status)
        status = read_origin(importing, kept);
    if (!status)
        status = read_reading(importing, &kept->reading);
    importing->gaps->no_name += !status && !kept->ink && kept->reading.found == CELL_INK;
    return status;
}

/* --- the file ------------------------------------------------------------------------------- */

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

    if (!status)
        memcpy(hash, content.hash, sizeof content.hash);
    content_release(&content);
    return status;
}

static enum status take_line(void *context, struct csv *csv, size_t line, struct error *error)
{
    struct importing *importing = context;
    const struct inventory_taker *taker = importing->taker;
    struct inventory_reading kept = {0};
    enum status status;

    importing->csv = csv;
    importing->line = line;
    if (line == 1) {
        status = import_place_columns(importing);
        return status ? status : hash_file(importing->path, importing->hash, error);
    }
    status = read_line(importing, &kept);
    if (!status && taker)
        status = taker->take(taker->context, &kept, error);
    inventory_reading_release(&kept);
    return status;
}

static enum status read_lines(struct importing *importing)
{
    const struct csv_source source = {importing->path, "file of readings", IMPORT_BYTES_MAX};
    const struct csv_taker taker = {take_line, importing};
    enum status status = csv_each(&source, &taker, importing->error);

    if (status || importing->line)
        return status;
    return error_set(importing->error, STATUS_FORMAT,
                     "%s: is empty; a first line with the names of the columns is wanted",
                     importing->path);
}

enum status import_readings(const char *path, const struct inventory_taker *taker,
                            struct import_gaps *gaps, struct error *error)
{
    struct importing importing = {.path = path, .taker = taker, .gaps = gaps, .error = error};
    char *name = base_name(path, error);
    enum status status;

    memset(gaps, 0, sizeof *gaps);
    importing.name = name;
    status = name ? read_lines(&importing) : error->status;
    free(name);
    return status;
}
