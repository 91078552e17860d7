#include "files/names.h"

#include "files/csv.h"
#include "files/whole_file.h"

#include <errno.h>
#include <string.h>

/* Quoted always: no separator in a name is taken for the file's. */
static void put_name(const char *ink, FILE *stream)
{
    if (ink[0])
        csv_put(ink, true, stream);
}

/* A line of one blank cell would be no line to a reader of CSV. */
static void write_row(const struct names *names, int row, FILE *stream)
{
    if (names->columns == 1 && !names_at(names, row, 1)->ink[0])
        fputs("\"\"", stream);
    for (int column = 1; column <= names->columns; column++) {
        if (column > 1)
            fputc(',', stream);
        put_name(names_at(names, row, column)->ink, stream);
    }
    fputc('\n', stream);
}

enum status names_write(const char *path, const struct names *names, struct error *error)
{
    struct whole_file file;
    enum status status = whole_file_begin(path, &whole_file_csv, &file, error);

    if (status)
        return status;
    for (int row = 1; row <= names->rows; row++)
        write_row(names, row, file.stream);
    if (ferror(file.stream))
        status = error_set(error, STATUS_FILE, "%s: can't be written (%s); check the disk's room",
                           path, strerror(errno));
    return whole_file_end(&file, status, error);
}
