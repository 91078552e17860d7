#include "fuzz/given.h"

/* Anything that begins as a PNG file. */
int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    if (size > 4 && data[0] == 0x89 && data[1] == 'P' && data[2] == 'N' && data[3] == 'G')
        given_photo(data, size);
    return 0;
}
