#include "files/names.h"

#include "files/whole_file.h"

#include <errno.h>
#include <string.h>

/* Quoted always: a comma, a semicolon or a quotation mark in a name does no harm then. */
static void write_field(const char *text, FILE *stream)
{
    if (!text[0])
        return;
    fputc('"', stream);
    for (; *text; text++) {
        if (*text == '"')
            fputc('"', stream);
        fputc(*text, stream);
    }
    fputc('"', stream);
}

/* A line of one blank cell would be no line to a reader of CSV. */
static void write_row(const struct names *names, int row, FILE *stream)
{
    if (names->columns == 1 && !names_at(names, row, 1)->ink[0])
        fputs("\"\"", stream);
    for (int column = 1; column <= names->columns; column++) {
        if (column > 1)
            fputc(',', stream);
        write_field(names_at(names, row, column)->ink, stream);
    }
    fputc('\n', stream);
}

enum status names_write(const char *path, const struct names *names, struct error *error)
{
    struct whole_file file;
    enum status status = whole_file_begin(path, &file, error);

    if (status)
        return status;
    for (int row = 1; row <= names->rows; row++)
        write_row(names, row, file.stream);
    if (ferror(file.stream))
        status = error_set(error, STATUS_FILE, "%s: can't be written (%s); check the disk's room",
                           path, strerror(errno));
    return whole_file_end(&file, status, error);
}
