#ifndef WOAD_FILES_SIGNATURE_H
#define WOAD_FILES_SIGNATURE_H

#include <stddef.h>

/* What a file is, by its first bytes; its name says nothing. */
enum signature {
    SIGNATURE_JPEG,
    SIGNATURE_PNG,
    SIGNATURE_HEIF,
    SIGNATURE_TIFF,
    SIGNATURE_RAW,
    SIGNATURE_OTHER
};

#define SIGNATURE_BYTES 32

/**
 * Recognise a file by its first bytes.
 *
 * Shape:   `size` is up to SIGNATURE_BYTES, fewer for a shorter file; `name`
 *          is set to words for a message, such as "an AVIF picture".
 */
enum signature signature_recognise(const unsigned char *bytes, size_t size, const char **name);

#endif
