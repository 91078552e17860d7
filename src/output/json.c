#include "output/json.h"

#include "base/text.h"
#include "base/utf8.h"
#include "values/calendar.h"

#include <jansson.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#define DUMP_FLAGS (JSON_INDENT(2) | JSON_REAL_PRECISION(12))
#define PLACE_DECIMALS 2  /* of a pixel */
#define FIGURE_DECIMALS 3 /* of delta E and seconds */

/* A number to so many decimals; jansson has no number for what is not finite. */
static json_t *number(double value, int decimals)
{
    if (!isfinite(value))
        return json_null();
    return decimals ? json_real(text_rounded(value, decimals))
                    : json_integer((json_int_t)llround(value));
}

/* File names may hold any bytes; JSON holds only UTF-8. */
static json_t *text(const char *string)
{
    json_t *lossy;

    if (utf8_is_valid(string))
        return json_string(string);
    lossy = json_string("");
    while (lossy && *string) {
        const char *start = string;
        const char *piece = utf8_next(&string) < 0 ? "\xEF\xBF\xBD" : start;
        int bytes = piece == start ? (int)(string - start) : 3;
        json_t *longer = json_sprintf("%s%.*s", json_string_value(lossy), bytes, piece);

        json_decref(lossy);
        lossy = longer;
    }
    return lossy;
}

static json_t *list_of_words(const char *words)
{
    json_t *list = json_array();

    while (list && *words) {
        size_t length = strcspn(words, ";");

        json_array_append_new(list, json_stringn(words, length));
        words += length + (words[length] == ';');
    }
    return list;
}

static json_t *field_value(const struct column *column, const struct field *field)
{
    if (field->missing)
        return json_null();
    if (column->kind == COLUMN_NUMBER)
        return number(field->number, column->decimals);
    return column->kind == COLUMN_WORDS ? list_of_words(field->text) : text(field->text);
}

static json_t *rows_of_table(const struct table *table)
{
    json_t *rows = json_array();

    for (size_t i = 0; rows && i < table->count; i += table->column_count) {
        json_t *row = json_object();

        for (size_t j = 0; j < table->column_count; j++)
            if (table->columns[j].place != COLUMN_IN_TEXT)
                json_object_set_new(row, table->columns[j].name,
                                    field_value(&table->columns[j], &table->fields[i + j]));
        json_array_append_new(rows, row);
    }
    return rows;
}

/* Print and free a value; jansson hands NULL on wherever it had no memory. */
static enum status dump(json_t *value, FILE *out, struct error *error)
{
    char *printed = value ? json_dumps(value, DUMP_FLAGS) : NULL;

    json_decref(value);
    if (!printed)
        return error_set(error, STATUS_MEMORY, "out of memory: no room for the JSON output");
    fputs(printed, out);
    free(printed);
    return STATUS_OK;
}

enum status json_write_table(const struct table *table, FILE *out, struct error *error)
{
    enum status status = dump(rows_of_table(table), out, error);

    if (!status)
        fputc('\n', out);
    return status;
}

/* What is dumped of a list of rows begins with a bracket and ends with a line of one. */
enum status json_write_part(const struct table *table, bool first, FILE *out, struct error *error)
{
    json_t *rows = rows_of_table(table);
    char *printed = rows ? json_dumps(rows, DUMP_FLAGS) : NULL;

    json_decref(rows);
    if (!printed)
        return error_set(error, STATUS_MEMORY, "out of memory: no room for the JSON output");
    if (table->count)
        fprintf(out, "%c%.*s", first ? '[' : ',', (int)strlen(printed) - (int)strlen("[\n]"),
                printed + 1);
    free(printed);
    return STATUS_OK;
}

void json_write_end(bool first, FILE *out)
{
    fputs(first ? "[]\n" : "\n]\n", out);
}

/* --- a measurement -------------------------------------------------------------------------- */

static json_t *place(struct point working, double scale)
{
    json_t *pair = json_array();

    json_array_append_new(pair, number(working.x * scale, PLACE_DECIMALS));
    json_array_append_new(pair, number(working.y * scale, PLACE_DECIMALS));
    return pair;
}

static json_t *places_of_quad(const struct quad *quad, double scale)
{
    json_t *list = json_array();

    for (int i = 0; i < 4; i++)
        json_array_append_new(list, place(quad->corner[i], scale));
    return list;
}

static json_t *cell_centres(const struct measured_chart *chart, double scale)
{
    json_t *list = json_array();
    int count = chart->pose.rows * chart->pose.columns;

    for (int i = 0; i < count; i++)
        json_array_append_new(list, place(quad_centre(&chart->readings[i].outline), scale));
    return list;
}

static json_t *card_object(const struct measurement *measurement, double scale)
{
    const struct correction_quality *quality = &measurement->quality;
    const struct card_pose *card = &measurement->card;

    return json_pack(
        "{s:o, s:i, s:b, s:i, s:o, s:o, s:o, s:o, s:o, s:o, s:o}", "corners",
        places_of_quad(&card->corners, scale), "turned", card->turns * 90, "mirrored",
        quad_area(&card->corners) < 0, "patches_used", quality->patches_used, "residual_mean",
        number(quality->residual_mean, FIGURE_DECIMALS), "residual_max",
        number(quality->residual_max, FIGURE_DECIMALS), "left_out_mean",
        number(quality->left_out_mean, FIGURE_DECIMALS), "left_out_max",
        number(quality->left_out_max, FIGURE_DECIMALS), "left_out_mean_as_other_edition",
        quality->as_other_edition > 0 ? number(quality->as_other_edition, FIGURE_DECIMALS)
                                      : json_null(),
        "confidence", number(1 - card->misfit / card->next_best, FIGURE_DECIMALS),
        "second_card_error",
        measurement->second_card.found ? number(measurement->second_card_error, FIGURE_DECIMALS)
                                       : json_null());
}

/* The part of the cells whose own edges were seen, not only placed by the lattice. */
static double chart_confidence(const struct chart_pose *chart)
{
    int cells = chart->rows * chart->columns, seen = 0;

    for (int i = 0; chart->seen && i < cells; i++)
        seen += chart->seen[i];
    return cells ? (double)seen / cells : 0;
}

static json_t *chart_object(const struct measured_chart *measured, double scale)
{
    const struct chart_pose *chart = &measured->pose;

    return json_pack("{s:i, s:i, s:i, s:i, s:o, s:o, s:o}", "number", chart->number, "of",
                     chart->charts, "rows", chart->rows, "columns", chart->columns, "corners",
                     places_of_quad(&chart->corners, scale), "cell_centres",
                     cell_centres(measured, scale), "confidence",
                     number(chart_confidence(chart), FIGURE_DECIMALS));
}

static json_t *light_object(const struct correction_quality *quality)
{
    return json_pack("{s:o, s:o}", "falloff_percent",
                     number(100 * quality->light_falloff, FIGURE_DECIMALS), "colour_shift",
                     number(quality->light_shift, FIGURE_DECIMALS));
}

enum status json_write_measurement(const struct json_chart *measured, const struct table *rows,
                                   FILE *out, struct error *error)
{
    const struct photo *photo = measured->photo;
    const struct measurement *measurement = measured->measurement;
    char taken[CALENDAR_TEXT_SIZE];

    calendar_format(&photo->taken, taken);
    return dump(
        json_pack("{s:o, s:o, s:o, s:o, s:o, s:o, s:s, s:o, s:o}", "photo", text(photo->path),
                  "taken", taken[0] ? json_string(taken) : json_null(), "profile",
                  text(photo->profile_name), "card", card_object(measurement, photo->scale),
                  "chart", chart_object(measured->chart, photo->scale), "light",
                  light_object(&measurement->quality), "method", measurement->quality.method,
                  "seconds", number(measured->seconds, FIGURE_DECIMALS), "readings",
                  rows_of_table(rows)),
        out, error);
}

enum status json_write_card(const struct photo *photo, const struct measurement *measurement,
                            const struct table *rows, FILE *out, struct error *error)
{
    enum status status =
        dump(json_pack("{s:o, s:o, s:s, s:o}", "photo", text(photo->path), "card",
                       card_object(measurement, photo->scale), "method",
                       measurement->quality.method, "patches", rows_of_table(rows)),
             out, error);

    if (!status)
        fputc('\n', out);
    return status;
}
