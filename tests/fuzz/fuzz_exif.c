#include "files/exif.h"
#include "fuzz/given.h"

#include <stdlib.h>
#include <string.h>

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    struct header header = {.exif = size ? malloc(size) : NULL, .exif_size = size};
    struct exif exif = {0};
    struct error error;

    if (header.exif)
        memcpy(header.exif, data, size);
    if (exif_read(&header, &exif, &error) == STATUS_OK &&
        (exif.orientation < 1 || exif.orientation > 8))
        abort();
    header_release(&header);
    return 0;
}
