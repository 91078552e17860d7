#include "output/table.h"

#include "base/memory.h"
#include "base/text.h"
#include "base/utf8.h"
#include "output/json.h"

#include <assert.h>
#include <math.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#define NUMBER_SIZE 64
#define COLUMN_GAP 2

struct field field_text(const char *text)
{
    return (struct field){text == NULL, 0, text};
}

struct field field_number(double number)
{
    return (struct field){!isfinite(number), number, NULL};
}

struct field field_missing(void)
{
    return (struct field){true, 0, NULL};
}

size_t table_rows(const struct table *table)
{
    return table->count / table->column_count;
}

static enum status make_room(struct table *table, struct error *error)
{
    while (table->capacity < table->count + table->column_count) {
        struct field *grown =
            memory_grow(table->fields, &table->capacity, sizeof *grown, "a table", error);

        if (!grown)
            return error->status;
        table->fields = grown;
    }
    return STATUS_OK;
}

enum status table_add(struct table *table, const struct field *row, struct error *error)
{
    enum status status = make_room(table, error);
    struct field *fields = status ? NULL : table->fields + table->count;
    size_t copied = 0;

    for (; !status && copied < table->column_count; copied++) {
        fields[copied] = row[copied];
        if (!row[copied].text)
            continue;
        fields[copied].text = text_copy(row[copied].text, error);
        if (!fields[copied].text)
            status = error->status;
    }
    if (!status)
        table->count += table->column_count;
    for (size_t i = 0; status && i < copied; i++)
        free((void *)fields[i].text);
    return status;
}

void table_release(struct table *table)
{
    for (size_t i = 0; i < table->count; i++)
        free((void *)table->fields[i].text);
    free(table->fields);
    table->fields = NULL;
    table->count = table->capacity = 0;
}

double table_rounded(double number, int decimals)
{
    double step = pow(10.0, decimals);
    double rounded = round(number * step) / step;

    return rounded == 0 ? 0 : rounded;
}

/* The field as printed; numbers are written into `buffer`. */
static const char *field_print(const struct column *column, const struct field *field,
                               const char *missing, char buffer[NUMBER_SIZE])
{
    if (field->missing)
        return missing;
    if (column->kind != COLUMN_NUMBER)
        return field->text;
    snprintf(buffer, NUMBER_SIZE, "%.*f", column->decimals,
             table_rounded(field->number, column->decimals));
    return buffer;
}

/* --- for people ----------------------------------------------------------------------------- */

static const char *column_title(const struct column *column)
{
    return column->title ? column->title : column->name;
}

static int column_width(const struct table *table, size_t place)
{
    const struct column *column = &table->columns[place];
    int width = utf8_columns(column_title(column));
    char buffer[NUMBER_SIZE];

    for (size_t i = place; i < table->count; i += table->column_count) {
        int columns = utf8_columns(field_print(column, &table->fields[i], "-", buffer));

        width = columns > width ? columns : width;
    }
    return width;
}

/* Print text as a terminal may safely take it: control and malformed bytes become "?". */
static void put_safely(const char *text, FILE *out)
{
    while (*text) {
        const char *start = text;
        int32_t code = utf8_next(&text);

        if (code < 0 || utf8_is_control(code))
            fputc('?', out);
        else
            fwrite(start, 1, (size_t)(text - start), out);
    }
}

/* One field of a line; `line` gathers the blanks not yet printed, so that no line ends in blanks.
 */
static void put_aligned(const char *text, int width, bool to_the_right, int *blanks, FILE *out)
{
    int padding = width - utf8_columns(text);

    if (to_the_right)
        *blanks += padding;
    if (*text) {
        fprintf(out, "%*s", *blanks, "");
        put_safely(text, out);
        *blanks = 0;
    }
    *blanks += to_the_right ? 0 : padding;
    *blanks += COLUMN_GAP;
}

static void write_line(const struct table *table, const int *widths, const struct field *row,
                       FILE *out)
{
    char buffer[NUMBER_SIZE];
    int blanks = 0;

    for (size_t i = 0; i < table->column_count; i++) {
        const struct column *column = &table->columns[i];

        if (column->place != COLUMN_IN_DATA)
            put_aligned(row ? field_print(column, &row[i], "-", buffer) : column_title(column),
                        widths[i], column->kind == COLUMN_NUMBER, &blanks, out);
    }
    fputc('\n', out);
}

void table_write_text(const struct table *table, FILE *out)
{
    int widths[TABLE_COLUMNS_MAX];

    assert(table->column_count <= TABLE_COLUMNS_MAX);
    for (size_t i = 0; i < table->column_count; i++)
        widths[i] = column_width(table, i);
    write_line(table, widths, NULL, out);
    for (size_t i = 0; i < table->count; i += table->column_count)
        write_line(table, widths, table->fields + i, out);
}

/* --- for programs --------------------------------------------------------------------------- */

static bool needs_quotes(const char *text)
{
    size_t length = strlen(text);

    return strpbrk(text, ",\"\r\n") || (length && (text[0] == ' ' || text[length - 1] == ' '));
}

static void put_csv(const char *text, FILE *out)
{
    if (!needs_quotes(text)) {
        fputs(text, out);
        return;
    }
    fputc('"', out);
    for (; *text; text++) {
        if (*text == '"')
            fputc('"', out);
        fputc(*text, out);
    }
    fputc('"', out);
}

static void write_csv_line(const struct table *table, const struct field *row, FILE *out)
{
    char buffer[NUMBER_SIZE];
    bool first = true;

    for (size_t i = 0; i < table->column_count; i++) {
        const struct column *column = &table->columns[i];

        if (column->place == COLUMN_IN_TEXT)
            continue;
        if (!first)
            fputc(',', out);
        first = false;
        put_csv(row ? field_print(column, &row[i], "", buffer) : column->name, out);
    }
    fputc('\n', out);
}

void table_write_csv_header(const struct table *table, FILE *out)
{
    write_csv_line(table, NULL, out);
}

void table_write_csv_rows(const struct table *table, FILE *out)
{
    for (size_t i = 0; i < table->count; i += table->column_count)
        write_csv_line(table, table->fields + i, out);
}

enum status table_write(const struct table *table, enum table_format format, FILE *out,
                        struct error *error)
{
    if (format == TABLE_JSON)
        return json_write_table(table, out, error);
    if (format == TABLE_TEXT) {
        table_write_text(table, out);
        return STATUS_OK;
    }
    table_write_csv_header(table, out);
    table_write_csv_rows(table, out);
    return STATUS_OK;
}
