#include "output/table.h"

#include "base/memory.h"
#include "base/text.h"
#include "base/utf8.h"
#include "files/csv.h"
#include "output/json.h"

#include <assert.h>
#include <math.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#define NUMBER_SIZE 64
#define COLUMN_GAP 2
#define SHOWN_SIZE 2048 /* of a text on a terminal */

void table_row(struct table *table)
{
    assert(table->failure.status || table->count == table->rows * table->column_count);
    table->columns_known = table->columns_known || table->rows > 0;
    table->rows++;
}

/* The first row makes the columns, every other keeps to them. */
static void keep_to_columns(struct table *table, const struct column *column, enum column_kind kind)
{
    size_t at = table->count - (table->rows - 1) * table->column_count;

    if (!table->columns_known) {
        at = table->column_count++;
        assert(at < TABLE_COLUMNS_MAX);
        table->columns[at] = *column;
        table->columns[at].kind = kind;
    }
    assert(at < table->column_count && strcmp(table->columns[at].name, column->name) == 0);
}

static void add_field(struct table *table, const struct column *column, enum column_kind kind,
                      struct field field)
{
    struct field *grown = table->fields;

    if (table->failure.status)
        return;
    keep_to_columns(table, column, kind);
    if (table->count == table->capacity)
        grown = memory_grow(grown, &table->capacity, sizeof *grown, "a table", &table->failure);
    if (!grown)
        return;
    table->fields = grown;
    if (field.text)
        field.text = text_copy(field.text, &table->failure);
    if (!table->failure.status)
        table->fields[table->count++] = field;
}

void table_text(struct table *table, struct column column, const char *text)
{
    add_field(table, &column, COLUMN_TEXT, (struct field){text == NULL, 0, (char *)text});
}

void table_words(struct table *table, struct column column, const char *words)
{
    add_field(table, &column, COLUMN_WORDS, (struct field){words == NULL, 0, (char *)words});
}

void table_number(struct table *table, struct column column, double number)
{
    add_field(table, &column, COLUMN_NUMBER, (struct field){!isfinite(number), number, NULL});
}

static void drop_rows(struct table *table)
{
    for (size_t i = 0; i < table->count; i++)
        free(table->fields[i].text);
    table->count = table->rows = 0;
}

void table_keep_columns(struct table *table)
{
    drop_rows(table);
    table->columns_known = true;
}

enum status table_check(const struct table *table, struct error *error)
{
    if (table->failure.status)
        *error = table->failure;
    return table->failure.status;
}

size_t table_rows(const struct table *table)
{
    return table->rows;
}

void table_release(struct table *table)
{
    drop_rows(table);
    free(table->fields);
    memset(table, 0, sizeof *table);
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
             text_rounded(field->number, column->decimals));
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

/* One field of a line; `line` gathers the blanks not yet printed, so that no line ends in blanks.
 */
static void put_aligned(const char *text, int width, bool to_the_right, int *blanks, FILE *out)
{
    int padding = width - utf8_columns(text);

    if (to_the_right)
        *blanks += padding;
    if (*text) {
        fprintf(out, "%*s", *blanks, "");
        utf8_put(text, out);
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

        if (column->place != COLUMN_IN_DATA && (column->place != COLUMN_WITH_MORE || table->more))
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

/* On a terminal a text is shown as in a text table; a file gets it as it is. */
static void put_csv_text(const char *text, bool on_terminal, FILE *out)
{
    char shown[SHOWN_SIZE];

    if (on_terminal)
        utf8_show(text, shown, sizeof shown);
    csv_put(on_terminal ? shown : text, false, out);
}

static void write_csv_line(const struct table *table, const struct field *row, bool on_terminal,
                           FILE *out)
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
        if (!row)
            fputs(column->name, out);
        else if (column->kind != COLUMN_TEXT) /* numbers, and words of woad's own */
            fputs(field_print(column, &row[i], "", buffer), out);
        else
            put_csv_text(field_print(column, &row[i], "", buffer), on_terminal, out);
    }
    fputc('\n', out);
}

void table_write_csv_header(const struct table *table, FILE *out)
{
    write_csv_line(table, NULL, false, out);
}

void table_write_csv_rows(const struct table *table, FILE *out)
{
    bool on_terminal = isatty(fileno(out));

    for (size_t i = 0; i < table->count; i += table->column_count)
        write_csv_line(table, table->fields + i, on_terminal, out);
}

bool table_format_of(const char *word, enum table_format *format)
{
    static const char *const words[] = {
        [TABLE_TEXT] = "table", [TABLE_CSV] = "csv", [TABLE_JSON] = "json"};

    for (int i = TABLE_TEXT; i <= TABLE_JSON; i++)
        if (strcmp(word, words[i]) == 0) {
            *format = (enum table_format)i;
            return true;
        }
    return false;
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
