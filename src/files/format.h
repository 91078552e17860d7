#ifndef WOAD_FILES_FORMAT_H
#define WOAD_FILES_FORMAT_H

#include "base/error.h"
#include "files/signature.h"
#include "header.h"
#include "rows.h"

#include <stdio.h>

/*
 * How pictures of one kind are read: opened, which reads all up to the picture itself; decoded,
 * line by line; closed. A decoder is what `open` makes, and only its own format looks into it.
 */
struct format {
    enum signature signature;

    /*
     * Owns:    `file` stays open and the caller's; on every status the caller releases `header`
     *          and closes `decoder` (NULL is fine).
     * Returns: STATUS_OK; STATUS_FORMAT if it is damaged, passes a limit, is no colour photo, or
     *          can't be decoded by this build; STATUS_FILE; STATUS_MEMORY.
     */
    enum status (*open)(FILE *file, const char *path, void **decoder, struct header *header,
                        struct error *error);

    /* Choose the size at which the decoder hands the picture over; NULL where there is no choice.
     */
    void (*scale)(struct header *header, long long pixels_max);

    /*
     * Returns: STATUS_OK; STATUS_FORMAT if data is missing or damaged (nothing is filled with grey
     *          in silence), a pixel is see-through, or the picture takes too much memory;
     *          STATUS_FILE; STATUS_MEMORY.
     */
    enum status (*decode)(void *decoder, struct rows *rows, struct error *error);

    void (*close)(void *decoder);
};

/** The format a file is in by its signature; NULL if it is none that is read. */
const struct format *format_of(enum signature signature);

#endif
