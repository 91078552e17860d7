#include "fuzz/given.h"

/* Anything that begins as a JPEG file. */
int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    if (size > 2 && data[0] == 0xff && data[1] == 0xd8)
        given_photo(data, size);
    return 0;
}
