#include "files/signature.h"
#include "fuzz/given.h"

/* Anything that begins as a raw file does, or as a TIFF file, which many of them are. */
int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    const char *kind;
    size_t looked_at = size < SIGNATURE_BYTES ? size : SIGNATURE_BYTES;
    enum signature signature = signature_recognise(data, looked_at, &kind);

    if (signature == SIGNATURE_RAW || signature == SIGNATURE_TIFF)
        given_photo(data, size);
    return 0;
}
