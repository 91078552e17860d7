#include "files/names.h"
#include "fuzz/given.h"

#include <stdlib.h>
#include <string.h>
#include <unistd.h>

/* Names that are taken fill their sheet, and none is longer than stated. */
static void check(const struct names *names)
{
    for (int row = 1; row <= names->rows; row++)
        for (int column = 1; column <= names->columns; column++)
            if (strnlen(names_at(names, row, column)->ink, NAMES_INK_BYTES_MAX + 1) >
                NAMES_INK_BYTES_MAX)
                abort();
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    struct names names = {0};
    struct error error;
    char path[64];

    given_file(data, size, path);
    if (names_read(path, &names, &error) == STATUS_OK)
        check(&names);
    names_release(&names);
    unlink(path);
    return 0;
}
