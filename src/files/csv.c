#include "files/csv.h"

#include "base/memory.h"
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

#define PART_BYTES 65536 /* read at a time; the first part tells what parts the fields */

/* What the parser's callbacks share. */
struct reader {
    const struct csv_source *source;
    const struct csv_taker *taker; /* NULL: every line is kept */
    struct csv *csv;
    size_t line; /* the present one; 0 before the first */
    bool in_line;
    size_t first_fields, first_bytes; /* of the first line, which stays */
    struct csv_parser parser;
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

static enum status refuse_other_text(const struct csv_source *source, struct error *error)
{
    return error_set(error, STATUS_FORMAT, "%s: is no UTF-8 text; save the sheet as CSV in UTF-8",
                     source->path);
}

static enum status begin_line(struct reader *reader)
{
    if (reader->in_line)
        return STATUS_OK;
    reader->in_line = true;
    reader->line++;
    return add_place(&reader->csv->lines, &reader->csv->line_count, &reader->csv->line_capacity,
                     reader->csv->field_count, reader->error);
}

static enum status add_field(struct reader *reader, const char *text, size_t length)
{
    struct csv *csv = reader->csv;
    size_t at = csv->text_length;
    enum status status = begin_line(reader);

    if (!status)
        status =
            add_place(&csv->fields, &csv->field_count, &csv->field_capacity, at, reader->error);
    if (!status)
        status = add_text(csv, text, length, reader->error);
    if (!status && (strlen(csv->text + at) != length || !utf8_is_valid(csv->text + at)))
        status = refuse_other_text(reader->source, reader->error);
    return status;
}

static void on_field(void *field, size_t length, void *context)
{
    struct reader *reader = context;
    const char *text = field ? field : "";
    bool marked = apostrophes_before_formula(text, length) > 0;

    if (!reader->status)
        reader->status = add_field(reader, text + marked, length - marked);
}

/* Hand a line over; then only the first stays. */
static enum status give_line(struct reader *reader)
{
    struct csv *csv = reader->csv;
    enum status status = add_text(csv, "", 0, reader->error); /* see csv_field */

    if (reader->line == 1) {
        reader->first_fields = csv->field_count;
        reader->first_bytes = csv->text_length;
    }
    if (!status)
        status = reader->taker->take(reader->taker->context, csv, reader->line, reader->error);
    csv->line_count = 1;
    csv->field_count = reader->first_fields;
    csv->text_length = reader->first_bytes;
    return status;
}

static void on_line(int terminator, void *context)
{
    struct reader *reader = context;

    (void)terminator;
    reader->in_line = false;
    if (!reader->status && reader->taker)
        reader->status = give_line(reader);
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

static enum status refuse_quotes(const struct reader *reader)
{
    const struct csv *csv = reader->csv;

    return error_set(reader->error, STATUS_FORMAT,
                     "%s: a stray or unclosed quotation mark at row %zu, field %zu; a field with "
                     "a quotation mark is written \"like \"\"this\"\"\"",
                     reader->source->path, reader->in_line ? reader->line : reader->line + 1,
                     reader->in_line ? csv_width(csv, csv->line_count) + 1 : 1);
}

/* No bytes: the end. */
static enum status parse(struct reader *reader, const char *bytes, size_t length)
{
    struct csv_parser *parser = &reader->parser;
    bool broken = length ? csv_parse(parser, bytes, length, on_field, on_line, reader) != length
                         : csv_fini(parser, on_field, on_line, reader) != 0;

    if (broken && csv_error(parser) == CSV_ENOMEM)
        reader->status =
            error_set(reader->error, STATUS_MEMORY, "out of memory: no room for the %s %s",
                      reader->source->what, reader->source->path);
    else if (broken && !reader->status)
        reader->status = refuse_quotes(reader);
    return reader->status;
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

/* The separator is that of the first part's whole lines; a byte order mark is passed over. */
static enum status begin(struct reader *reader, char *part, size_t length)
{
    char *end;

    if (length >= 2 && (memcmp(part, "\xFF\xFE", 2) == 0 || memcmp(part, "\xFE\xFF", 2) == 0))
        return error_set(reader->error, STATUS_FORMAT,
                         "%s: is UTF-16 text; save it as CSV in UTF-8 instead",
                         reader->source->path);
    part[length] = '\0';
    end = length == PART_BYTES ? strrchr(part, '\n') : NULL;
    if (end)
        end[0] = '\0';
    csv_set_delim(&reader->parser, find_separator(part));
    if (end)
        end[0] = '\n';
    if (strncmp(part, BYTE_ORDER_MARK, 3) == 0)
        return parse(reader, part + 3, length - 3);
    return parse(reader, part, length);
}

static enum status read_parts(struct reader *reader, FILE *file, char part[PART_BYTES + 1])
{
    const struct csv_source *source = reader->source;
    size_t total = 0, got = PART_BYTES;

    while (!reader->status && got == PART_BYTES) {
        errno = 0;
        got = fread(part, 1, PART_BYTES, file);
        total += got;
        if (ferror(file))
            return error_set(reader->error, STATUS_FILE, "%s: the %s can't be read (%s)",
                             source->path, source->what, strerror(errno));
        if (total > source->bytes_max)
            return error_set(reader->error, STATUS_FORMAT,
                             "%s: is larger than %zu bytes, which no %s is; check its path",
                             source->path, source->bytes_max, source->what);
        if (total == got)
            reader->status = begin(reader, part, got);
        else if (got)
            reader->status = parse(reader, part, got);
    }
    return reader->status ? reader->status : parse(reader, NULL, 0);
}

static enum status read_file(struct reader *reader, FILE *file)
{
    char *part = memory_array(PART_BYTES + 1, 1, "a CSV file", reader->error);
    enum status status;

    if (!part)
        return reader->error->status;
    if (csv_init(&reader->parser, CSV_STRICT | CSV_STRICT_FINI)) {
        free(part);
        return error_set(reader->error, STATUS_MEMORY, "out of memory: no room for a CSV parser");
    }
    status = read_parts(reader, file, part);
    csv_free(&reader->parser);
    free(part);
    return status;
}

static enum status read_source(const struct csv_source *source, const struct csv_taker *taker,
                               struct csv *csv, struct error *error)
{
    struct reader reader = {.source = source, .taker = taker, .csv = csv, .error = error};
    FILE *file = open_at_once(source->path);
    enum status status;

    memset(csv, 0, sizeof *csv);
    if (!file)
        return error_set(error, STATUS_FILE, "%s: the %s can't be opened (%s); check its path",
                         source->path, source->what, strerror(errno));
    status = read_file(&reader, file);
    fclose(file);
    return status ? status : add_text(csv, "", 0, error);
}

enum status csv_read(const struct csv_source *source, struct csv *csv, struct error *error)
{
    enum status status = read_source(source, NULL, csv, error);

    if (status)
        csv_release(csv);
    return status;
}

enum status csv_each(const struct csv_source *source, const struct csv_taker *taker,
                     struct error *error)
{
    struct csv csv;
    enum status status = read_source(source, taker, &csv, error);

    csv_release(&csv);
    return status;
}
