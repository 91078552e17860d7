#include "fuzz/given.h"

/* Anything that begins as a HEIC file. */
int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    if (size > 12 && data[4] == 'f' && data[5] == 't' && data[6] == 'y' && data[7] == 'p')
        given_photo(data, size);
    return 0;
}
