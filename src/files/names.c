#include "files/names.h"

#include "base/memory.h"
#include "base/utf8.h"
#include "files/clock.h"

#include <csv.h>
#include <ctype.h>
#include <errno.h>
#include <limits.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define BYTE_ORDER_MARK "\xEF\xBB\xBF"

/* What the parser's callbacks share. */
struct names_reader {
    const char *path;
    struct names *names;
    size_t capacity;
    int column; /* fields seen on the present line */
    struct error *error;
    enum status status;
};

void names_release(struct names *names)
{
    free(names->cells);
    memset(names, 0, sizeof *names);
}

const struct name *names_at(const struct names *names, int row, int column)
{
    return &names->cells[(row - 1) * names->columns + column - 1];
}

void names_label(int row, int column, char label[NAMES_LABEL_SIZE])
{
    int letter = (row - 1) % 26;

    if (row > 26)
        snprintf(label, NAMES_LABEL_SIZE, "%c%c%d", 'A' + (row - 27) / 26 % 26, 'A' + letter,
                 column);
    else
        snprintf(label, NAMES_LABEL_SIZE, "%c%d", 'A' + letter, column);
}

const char *names_of_cell(const struct names *names, int row, int column,
                          char label[NAMES_LABEL_SIZE])
{
    if (names)
        return names_at(names, row, column)->ink;
    names_label(row, column, label);
    return label;
}

/* --- one field ------------------------------------------------------------------------------ */

/* Spreadsheets break lines inside a cell: any run of white space becomes one space. */
static void tidy_spaces(char *text)
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

static bool has_control_character(const char *text)
{
    while (*text)
        if (utf8_is_control(utf8_next(&text)))
            return true;
    return false;
}

/* Part "Ink name @ 2026-05-03 10:20"; an @ before anything but a digit belongs to the name. */
static enum status part_time(struct names_reader *reader, char *text, struct photo_time *inked_at)
{
    char *at = strrchr(text, '@');
    const char *time = at ? at + 1 + strspn(at + 1, " ") : NULL;
    struct error reason;

    if (!time || !isdigit((unsigned char)*time))
        return STATUS_OK;
    if (clock_parse(time, inked_at, &reason))
        return error_set(reader->error, STATUS_FORMAT,
                         "%s: row %d, field %d: behind the @ stands '%.60s', which is no time; "
                         "write \"Ink name @ 2026-05-03 10:20\"",
                         reader->path, reader->names->rows + 1, reader->column + 1, time);
    *at = '\0';
    tidy_spaces(text);
    return STATUS_OK;
}

/* Part "Ink name [batch]"; a bracket anywhere but at the end belongs to the name. */
static enum status part_batch(struct names_reader *reader, char *text, struct name *name)
{
    size_t length = strlen(text);
    char *open = length && text[length - 1] == ']' ? strrchr(text, '[') : NULL;
    char *batch = open ? open + 1 : NULL;

    if (!open || open == text)
        return STATUS_OK;
    text[length - 1] = '\0';
    tidy_spaces(batch);
    if (!batch[0] || strlen(batch) > NAMES_BATCH_BYTES_MAX)
        return error_set(reader->error, STATUS_FORMAT,
                         "%s: row %d, field %d: the brackets hold '%.80s'; a batch is 1 to %d "
                         "bytes: write \"Ink name [7]\"",
                         reader->path, reader->names->rows + 1, reader->column + 1, batch,
                         NAMES_BATCH_BYTES_MAX);
    memcpy(name->batch, batch, strlen(batch) + 1);
    *open = '\0';
    tidy_spaces(text);
    return STATUS_OK;
}

static enum status name_from_field(struct names_reader *reader, char *text, struct name *name)
{
    enum status status;

    tidy_spaces(text);
    if (has_control_character(text))
        return error_set(reader->error, STATUS_FORMAT,
                         "%s: row %d, field %d holds a control character; ink names are plain "
                         "text: save the sheet as CSV again",
                         reader->path, reader->names->rows + 1, reader->column + 1);
    status = part_time(reader, text, &name->inked_at);
    if (!status)
        status = part_batch(reader, text, name);
    if (status)
        return status;
    if (strlen(text) > NAMES_INK_BYTES_MAX)
        return error_set(reader->error, STATUS_FORMAT,
                         "%s: row %d, field %d: the name '%.40s...' is %zu bytes long, at most %d "
                         "are kept; shorten it",
                         reader->path, reader->names->rows + 1, reader->column + 1, text,
                         strlen(text), NAMES_INK_BYTES_MAX);
    memcpy(name->ink, text, strlen(text) + 1);
    return STATUS_OK;
}

static enum status make_room(struct names_reader *reader, size_t count)
{
    while (reader->capacity <= count) {
        struct name *grown = memory_grow(reader->names->cells, &reader->capacity, sizeof *grown,
                                         "the ink names", reader->error);

        if (!grown)
            return reader->error->status;
        reader->names->cells = grown;
    }
    return STATUS_OK;
}

static enum status add_field(struct names_reader *reader, char *text)
{
    struct names *names = reader->names;
    size_t count = (size_t)names->rows * (size_t)names->columns + (size_t)reader->column;
    enum status status;

    if (reader->column >= NAMES_SIDE_MAX || names->rows >= NAMES_SIDE_MAX)
        return error_set(reader->error, STATUS_FORMAT,
                         "%s: more than %d rows or columns of cells; part the sheet and its photo",
                         reader->path, NAMES_SIDE_MAX);
    status = make_room(reader, count);
    if (status)
        return status;
    memset(&names->cells[count], 0, sizeof *names->cells);
    status = name_from_field(reader, text, &names->cells[count]);
    reader->column++;
    return status;
}

/* --- the whole file ------------------------------------------------------------------------- */

static void on_field(void *text, size_t length, void *context)
{
    struct names_reader *reader = context;

    (void)length; /* the parser ends the text with a zero */
    if (!reader->status)
        reader->status = add_field(reader, text);
}

static void on_line(int terminator, void *context)
{
    struct names_reader *reader = context;
    struct names *names = reader->names;

    (void)terminator;
    if (reader->status)
        return;
    if (names->rows == 0)
        names->columns = reader->column;
    else if (reader->column != names->columns)
        reader->status =
            error_set(reader->error, STATUS_FORMAT,
                      "%s: fields in row %d: %d, in row 1: %d; every row needs as many, with an "
                      "empty field for a cell left blank",
                      reader->path, names->rows + 1, reader->column, names->columns);
    names->rows++;
    reader->column = 0;
}

/* How often one separator stands outside quotes: on the line that has fewest, and in all. */
struct separator_use {
    int fewest;
    int total;
};

static struct separator_use count_separator(const char *text, char separator)
{
    struct separator_use use = {INT_MAX, 0};
    bool quoted = false, blank = true;
    int on_line = 0;

    for (; *text; text++) {
        quoted = *text == '"' ? !quoted : quoted;
        on_line += !quoted && *text == separator;
        blank = blank && (*text == '\n' || *text == '\r');
        if (quoted || *text != '\n')
            continue;
        use.fewest = on_line < use.fewest && !blank ? on_line : use.fewest;
        use.total += on_line;
        on_line = 0;
        blank = true;
    }
    return use;
}

/* The separator that stands on every line, for ink names may hold one of the others. */
static unsigned char find_separator(const char *text)
{
    static const char separators[] = {',', ';', '\t'};
    struct separator_use best = count_separator(text, separators[0]);
    char separator = separators[0];

    for (size_t i = 1; i < sizeof separators; i++) {
        struct separator_use use = count_separator(text, separators[i]);

        if (use.fewest < best.fewest || (use.fewest == best.fewest && use.total <= best.total))
            continue;
        best = use;
        separator = separators[i];
    }
    return (unsigned char)separator;
}

static enum status parse_text(struct names_reader *reader, const struct names *names,
                              const char *text, size_t length)
{
    struct csv_parser parser;
    size_t parsed;
    bool broken;

    if (csv_init(&parser, CSV_STRICT | CSV_STRICT_FINI | CSV_APPEND_NULL))
        return error_set(reader->error, STATUS_MEMORY, "out of memory: no room for a CSV parser");
    csv_set_delim(&parser, find_separator(text));
    parsed = csv_parse(&parser, text, length, on_field, on_line, reader);
    broken = parsed != length || csv_fini(&parser, on_field, on_line, reader);
    if (broken && csv_error(&parser) == CSV_ENOMEM)
        reader->status = error_set(reader->error, STATUS_MEMORY,
                                   "out of memory: no room for the names in %s", reader->path);
    else if (broken && !reader->status)
        reader->status = error_set(reader->error, STATUS_FORMAT,
                                   "%s: a stray or unclosed quotation mark at row %d, field %d; "
                                   "a name with a quotation mark is written \"like \"\"this\"\"\"",
                                   reader->path, names->rows + 1, reader->column + 1);
    csv_free(&parser);
    return reader->status;
}

static bool same_swatch(const struct name *a, const struct name *b)
{
    if (a->batch[0] && b->batch[0]) /* several swatches of each batch are meant to be there */
        return false;
    return a->ink[0] && strcmp(a->ink, b->ink) == 0 && a->inked_at.source == b->inked_at.source &&
           a->inked_at.utc_seconds == b->inked_at.utc_seconds;
}

static enum status refuse_duplicates(const char *path, const struct names *names,
                                     struct error *error)
{
    int count = names->rows * names->columns;

    for (int i = 0; i < count; i++)
        for (int j = i + 1; j < count; j++)
            if (same_swatch(&names->cells[i], &names->cells[j]))
                return error_set(error, STATUS_FORMAT,
                                 "%s: the ink '%s' stands twice, at row %d column %d and at row "
                                 "%d column %d; give each cell its own name, or its batch in "
                                 "[] behind the name, or the time it was inked behind an @",
                                 path, names->cells[i].ink, i / names->columns + 1,
                                 i % names->columns + 1, j / names->columns + 1,
                                 j % names->columns + 1);
    return STATUS_OK;
}

static enum status refuse_no_names(const char *path, const struct names *names, struct error *error)
{
    for (int i = 0; i < names->rows * names->columns; i++)
        if (names->cells[i].ink[0])
            return STATUS_OK;
    return error_set(error, STATUS_FORMAT,
                     "%s: holds no ink name; write a line for each row of cells and a field for "
                     "each cell",
                     path);
}

static enum status refuse_other_text(const char *path, const char *text, size_t length,
                                     struct error *error)
{
    if (length >= 2 && (memcmp(text, "\xFF\xFE", 2) == 0 || memcmp(text, "\xFE\xFF", 2) == 0))
        return error_set(error, STATUS_FORMAT,
                         "%s: is UTF-16 text; save it as CSV in UTF-8 instead", path);
    if (strlen(text) != length || !utf8_is_valid(text))
        return error_set(error, STATUS_FORMAT,
                         "%s: is no UTF-8 text; save the sheet as CSV in UTF-8", path);
    return STATUS_OK;
}

static enum status read_bytes(const char *path, char *bytes, size_t *length, struct error *error)
{
    FILE *file = fopen(path, "rb");

    if (!file)
        return error_set(error, STATUS_FILE,
                         "%s: the names file can't be opened (%s); check its path", path,
                         strerror(errno));
    errno = 0;
    *length = fread(bytes, 1, NAMES_FILE_BYTES_MAX + 1, file);
    if (ferror(file))
        error_set(error, STATUS_FILE, "%s: the names file can't be read (%s)", path,
                  strerror(errno));
    else if (*length > NAMES_FILE_BYTES_MAX)
        error_set(error, STATUS_FORMAT,
                  "%s: is larger than %d bytes, which no names file is; check its path", path,
                  NAMES_FILE_BYTES_MAX);
    else
        error->status = STATUS_OK;
    fclose(file);
    return error->status;
}

enum status names_read(const char *path, struct names *names, struct error *error)
{
    char *bytes = memory_array(NAMES_FILE_BYTES_MAX + 3, 1, "the names file", error);
    struct names_reader reader = {path, names, 0, 0, error, STATUS_OK};
    size_t length = 0, skipped;
    enum status status;

    memset(names, 0, sizeof *names);
    if (!bytes)
        return error->status;
    status = read_bytes(path, bytes, &length, error);
    skipped = strncmp(bytes, BYTE_ORDER_MARK, 3) == 0 ? 3 : 0;
    /* a last line without an end is a line like the others */
    bytes[length++] = '\n';
    if (!status)
        status = refuse_other_text(path, bytes + skipped, length - skipped, error);
    if (!status)
        status = parse_text(&reader, names, bytes + skipped, length - skipped);
    if (!status)
        status = refuse_no_names(path, names, error);
    if (!status)
        status = refuse_duplicates(path, names, error);
    if (status)
        names_release(names);
    free(bytes);
    return status;
}
