#include "fuzz/given.h"

/* Anything that begins as a TIFF file. */
int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    if (size > 8 && data[0] == data[1] && (data[0] == 'I' || data[0] == 'M'))
        given_photo(data, size);
    return 0;
}
