#include "files/signature.h"
#include "fuzz/given.h"

/* Anything that begins as a TIFF file. */
int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    const char *kind;
    size_t looked_at = size < SIGNATURE_BYTES ? size : SIGNATURE_BYTES;

    if (signature_recognise(data, looked_at, &kind) == SIGNATURE_TIFF)
        given_photo(data, size);
    return 0;
}
