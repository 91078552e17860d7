#include "files/csv.h"

#include "base/memory.h"
#include "base/text.h"
#include "base/utf8.h"

#include <csv.h>
#include <ctype.h>
#include <errno.h>
#include <fcntl.h>
#include <limits.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#define BYTE_ORDER_MARK "\xEF\xBB\xBF"

/* What the parser's callbacks share. */
struct reader {
    struct csv *csv;
    bool in_line;
    struct error *error;
    enum status status;
};

void csv_release(struct csv *csv)
{
    free(csv->text);
    free(csv->fields);
    free(csv->lines);
    memset(csv, 0, sizeof *csv);
}

size_t csv_width(const struct csv *csv, size_t line)
{
    size_t end = line < csv->line_count ? csv->lines[line] : csv->field_count;

    return end - csv->lines[line - 1];
}

char *csv_field(const struct csv *csv, size_t line, size_t column)
{
    /* the text ends in an empty field for those that are not there */
    if (column < 1 || column > csv_width(csv, line))
        return csv->text + csv->text_length - 1;
    return csv->text + csv->fields[csv->lines[line - 1] + column - 1];
}

void csv_tidy(char *text)
{
    char *write = text;

    for (const char *read = text; *read; read++) {
        if (!isspace((unsigned char)*read))
            *write++ = *read;
        else if (write > text && write[-1] != ' ')
            *write++ = ' ';
    }
    if (write > text && write[-1] == ' ')
        write--;
    *write = '\0';
}

/* --- growing -------------------------------------------------------------------------------- */

static enum status add_place(size_t **places, size_t *count, size_t *capacity, size_t place,
                             struct error *error)
{
    if (*count == *capacity) {
        size_t *grown = memory_grow(*places, capacity, sizeof *grown, "a CSV file", error);

        if (!grown)
            return error->status;
        *places = grown;
    }
    (*places)[(*count)++] = place;
    return STATUS_OK;
}

static enum status add_text(struct csv *csv, const char *text, size_t length, struct error *error)
{
    while (csv->text_capacity < csv->text_length + length + 1) {
        char *grown = memory_grow(csv->text, &csv->text_capacity, 1, "a CSV file", error);

        if (!grown)
            return error->status;
        csv->text = grown;
    }
    memcpy(csv->text + csv->text_length, text, length);
    csv->text[csv->text_length + length] = '\0';
    csv->text_length += length + 1;
    return STATUS_OK;
}

/* How many apostrophes stand before what would begin a formula; -1 if none would. A number is no
 * formula, its sign notwithstanding. Source: common practice, no source. */
static int apostrophes_before_formula(const char *text, size_t length)
{
    size_t count = 0, number;

    while (count < length && text[count] == '\'')
        count++;
    if (count == length || !memchr("=+-@\t\r", text[count], 6))
        return -1;
    number = strspn(text + count + 1, "0123456789.,");
    if (memchr("+-", text[count], 2) && number && count + 1 + number == length)
        return -1;
    return (int)count;
}

static void on_field(void *field, size_t length, void *context)
{
    struct reader *reader = context;
    struct csv *csv = reader->csv;
    const char *text = field ? field : "";

    if (apostrophes_before_formula(text, length) > 0) {
        text++;
        length--;
    }

    if (!reader->status && !reader->in_line)
        reader->status = add_place(&csv->lines, &csv->line_count, &csv->line_capacity,
                                   csv->field_count, reader->error);
    reader->in_line = true;
    if (!reader->status)
        reader->status = add_place(&csv->fields, &csv->field_count, &csv->field_capacity,
                                   csv->text_length, reader->error);
    if (!reader->status)
        reader->status = add_text(csv, text, length, reader->error);
}

static void on_line(int terminator, void *context)
{
    struct reader *reader = context;

    (void)terminator;
    reader->in_line = false;
}

/* --- parsing -------------------------------------------------------------------------------- */

/* How often one separator stands outside quotes: on the line that has fewest, and in all. */
struct separator_use {
    int fewest;
    int total;
};

/* Whether a comma is more likely a number's own: "4,50". */
static bool is_within_number(const char *text, const char *at)
{
    return *at == ',' && at > text && isdigit((unsigned char)at[-1]) &&
           isdigit((unsigned char)at[1]);
}

static struct separator_use count_separator(const char *text, char separator, bool numbers_apart)
{
    struct separator_use use = {INT_MAX, 0};
    bool quoted = false, blank = true;
    int on_line = 0;

    for (const char *at = text; *at; at++) {
        bool ends = *at == '\n' || at[1] == '\0';

        quoted = *at == '"' ? !quoted : quoted;
        on_line += !quoted && *at == separator && !(numbers_apart && is_within_number(text, at));
        blank = blank && (*at == '\n' || *at == '\r');
        if (quoted || !ends)
            continue;
        use.fewest = on_line < use.fewest && !blank ? on_line : use.fewest;
        use.total += on_line;
        on_line = 0;
        blank = true;
    }
    return use;
}

/* The separator that stands on every line, for fields may hold one of the others. Commas in numbers
 * part nothing where another separator stands on every line. */
static unsigned char find_separator(const char *text)
{
    static const char others[] = {';', '\t'};
    struct separator_use other[2] = {count_separator(text, others[0], false),
                                     count_separator(text, others[1], false)};
    bool parted = other[0].total > 0 && other[0].fewest > 0;
    struct separator_use best;
    char separator = ',';

    parted = parted || (other[1].total > 0 && other[1].fewest > 0);
    best = count_separator(text, ',', parted);
    for (size_t i = 0; i < 2; i++) {
        if (other[i].fewest < best.fewest ||
            (other[i].fewest == best.fewest && other[i].total <= best.total))
            continue;
        best = other[i];
        separator = others[i];
    }
    return (unsigned char)separator;
}

static enum status refuse_quotes(const struct csv_source *source, const struct csv *csv,
                                 bool in_line, struct error *error)
{
    size_t line = in_line ? csv->line_count : csv->line_count + 1;

    return error_set(error, STATUS_FORMAT,
                     "%s: a stray or unclosed quotation mark at row %zu, field %zu; a field with "
                     "a quotation mark is written \"like \"\"this\"\"\"",
                     source->path, line, in_line ? csv_width(csv, line) + 1 : 1);
}

static enum status parse(const struct csv_source *source, const struct text *text, struct csv *csv,
                         struct error *error)
{
    struct reader reader = {csv, false, error, STATUS_OK};
    struct csv_parser parser;
    bool broken;

    if (csv_init(&parser, CSV_STRICT | CSV_STRICT_FINI))
        return error_set(error, STATUS_MEMORY, "out of memory: no room for a CSV parser");
    csv_set_delim(&parser, find_separator(text->bytes));
    broken =
        csv_parse(&parser, text->bytes, text->length, on_field, on_line, &reader) != text->length ||
        csv_fini(&parser, on_field, on_line, &reader);
    if (broken && csv_error(&parser) == CSV_ENOMEM)
        reader.status = error_set(error, STATUS_MEMORY, "out of memory: no room for the %s %s",
                                  source->what, source->path);
    else if (broken && !reader.status)
        reader.status = refuse_quotes(source, csv, reader.in_line, error);
    csv_free(&parser);
    return reader.status ? reader.status : add_text(csv, "", 0, error);
}

/* --- writing -------------------------------------------------------------------------------- */

void csv_put(const char *text, bool always_quoted, FILE *out)
{
    size_t length = strlen(text);
    bool formula = apostrophes_before_formula(text, length) >= 0;
    bool quoted = always_quoted || strpbrk(text, ",;\"\t\r\n") ||
                  (length && (text[0] == ' ' || text[length - 1] == ' '));

    if (quoted)
        fputc('"', out);
    if (formula)
        fputc('\'', out);
    for (; *text; text++) {
        if (*text == '"')
            fputc('"', out);
        fputc(*text, out);
    }
    if (quoted)
        fputc('"', out);
}

/* --- the file ------------------------------------------------------------------------------- */

static enum status refuse_other_text(const struct csv_source *source, const struct text *text,
                                     struct error *error)
{
    if (text->length >= 2 &&
        (memcmp(text->bytes, "\xFF\xFE", 2) == 0 || memcmp(text->bytes, "\xFE\xFF", 2) == 0))
        return error_set(error, STATUS_FORMAT,
                         "%s: is UTF-16 text; save it as CSV in UTF-8 instead", source->path);
    if (strlen(text->bytes) != text->length || !utf8_is_valid(text->bytes))
        return error_set(error, STATUS_FORMAT,
                         "%s: is no UTF-8 text; save the sheet as CSV in UTF-8", source->path);
    return STATUS_OK;
}

/* Read up to one byte more than is allowed, to see that there is more. */
static enum status read_stream(FILE *file, size_t bytes_max, struct text *text, struct error *error)
{
    size_t got = 1;

    while (got && text->length <= bytes_max) {
        if (text->length + 2 > text->capacity) {
            char *grown = memory_grow(text->bytes, &text->capacity, 1, "a CSV file", error);

            if (!grown)
                return error->status;
            text->bytes = grown;
        }
        got = fread(text->bytes + text->length, 1, text->capacity - text->length - 1, file);
        text->length += got;
        text->bytes[text->length] = '\0';
    }
    return STATUS_OK;
}

/* A pipe that nobody writes to is opened as an empty file, instead of being waited for. */
static FILE *open_at_once(const char *path)
{
    int descriptor = open(path, O_RDONLY | O_NONBLOCK | O_CLOEXEC);
    FILE *file = NULL;

    if (descriptor >= 0 && !fcntl(descriptor, F_SETFL, 0))
        file = fdopen(descriptor, "rb");
    if (descriptor >= 0 && !file)
        close(descriptor);
    return file;
}

static enum status read_bytes(const struct csv_source *source, struct text *text,
                              struct error *error)
{
    FILE *file = open_at_once(source->path);
    enum status status;

    if (!file)
        return error_set(error, STATUS_FILE, "%s: the %s can't be opened (%s); check its path",
                         source->path, source->what, strerror(errno));
    errno = 0;
    status = read_stream(file, source->bytes_max, text, error);
    if (!status && ferror(file))
        status = error_set(error, STATUS_FILE, "%s: the %s can't be read (%s)", source->path,
                           source->what, strerror(errno));
    else if (!status && text->length > source->bytes_max)
        status = error_set(error, STATUS_FORMAT,
                           "%s: is larger than %zu bytes, which no %s is; check its path",
                           source->path, source->bytes_max, source->what);
    fclose(file);
    return status;
}

enum status csv_read(const struct csv_source *source, struct csv *csv, struct error *error)
{
    struct text text = {0};
    struct text body = {0};
    enum status status = read_bytes(source, &text, error);

    memset(csv, 0, sizeof *csv);
    if (!status) {
        body = text;
        if (strncmp(text.bytes, BYTE_ORDER_MARK, 3) == 0) {
            body.bytes += 3;
            body.length -= 3;
        }
        status = refuse_other_text(source, &body, error);
    }
    if (!status)
        status = parse(source, &body, csv, error);
    if (status)
        csv_release(csv);
    text_release(&text);
    return status;
}
