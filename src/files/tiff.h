#ifndef WOAD_FILES_TIFF_H
#define WOAD_FILES_TIFF_H

/* Private to src/files: what reading a TIFF's header and its picture share. */

#include "tiff_file.h"

#include <stdbool.h>

struct tiff_file {
    struct tiff *tiff; /* libtiff's TIFF */
    FILE *file;
    const char *path;
    char reason[200]; /* the first fault that libtiff told */
    bool starved;     /* at which the system, not a limit, had no memory */
    int width_px;
    int height_px;
    int sample_bytes;
    int channels;
    bool has_alpha;
    bool see_through;
    bool tiled;
    bool apart;         /* each channel is stored by itself */
    int piece_width_px; /* a tile, or a strip of some lines */
    int piece_height_px;
    unsigned char *piece;
    unsigned char *lines; /* channels side by side: one line, or a row of pieces */
};

/**
 * Refuse the file for what was `seen` of it.
 *
 * Returns: STATUS_FORMAT.
 */
enum status tiff_refuse(const struct tiff_file *tiff, const char *seen, struct error *error);

/**
 * Report the fault that libtiff told.
 *
 * Returns: STATUS_FORMAT; STATUS_FILE; STATUS_MEMORY.
 */
enum status tiff_report(const struct tiff_file *tiff, struct error *error);

static inline int tiff_at_most(long long value, long long limit)
{
    return (int)(value < limit ? value : limit);
}

#endif
