#include "files/exif.h"
#include "fuzz/given.h"

#include <stdlib.h>

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    struct exif exif = {0};
    struct error error;

    if (exif_read(data, size, &exif, &error) == STATUS_OK &&
        (exif.orientation < 1 || exif.orientation > 8))
        abort();
    return 0;
}
