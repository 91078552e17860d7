#include "fuzz/given.h"

#include "files/photo.h"

#include <stdio.h>
#include <stdlib.h>
#include <unistd.h>

void given_file(const uint8_t *data, size_t size, char path[64])
{
    FILE *file;
    int descriptor;

    snprintf(path, 64, "%s/woad-fuzz-XXXXXX", access("/dev/shm", W_OK) ? "." : "/dev/shm");
    descriptor = mkstemp(path);
    file = descriptor < 0 ? NULL : fdopen(descriptor, "wb");
    if (!file || fwrite(data, 1, size, file) != size || fclose(file))
        abort();
}

/* Both at full size and averaged down; which of them, the input's size decides. */
void given_photo(const uint8_t *data, size_t size)
{
    struct photo photo = {0};
    struct error error;
    char path[64];

    given_file(data, size, path);
    if (photo_read(path, size % 2 ? 0 : 3000, &photo, &error) == STATUS_OK)
        photo_release(&photo);
    unlink(path);
}
