/* What stands in for the readers of HEIC and TIFF where their libraries were not there to build
 * with. */

#include "heif_file.h"
#include "tiff_file.h"

#include <string.h>

#ifndef WOAD_HEIF

enum status heif_file_open(FILE *file, const char *path, struct heif_file **heif,
                           struct header *header, struct error *error)
{
    (void)file;
    *heif = NULL;
    memset(header, 0, sizeof *header);
    return error_set(error, STATUS_FORMAT,
                     "%s: is a HEIC picture, and this woad was built without libheif: install the "
                     "package libheif-dev and build woad again (make clean, make), or export the "
                     "photo as JPEG or PNG",
                     path);
}

enum status heif_file_decode(struct heif_file *heif, struct rows *rows, struct error *error)
{
    (void)heif;
    (void)rows;
    return error_set(error, STATUS_FORMAT, "built without libheif");
}

void heif_file_close(struct heif_file *heif)
{
    (void)heif;
}

#endif

#ifndef WOAD_TIFF

enum status tiff_file_open(FILE *file, const char *path, struct tiff_file **tiff,
                           struct header *header, struct error *error)
{
    (void)file;
    *tiff = NULL;
    memset(header, 0, sizeof *header);
    return error_set(error, STATUS_FORMAT,
                     "%s: is a TIFF picture or a camera's raw file, and this woad was built "
                     "without libtiff: install the package libtiff-dev and build woad again (make "
                     "clean, make), or export the photo as JPEG or PNG",
                     path);
}

enum status tiff_file_decode(struct tiff_file *tiff, struct rows *rows, struct error *error)
{
    (void)tiff;
    (void)rows;
    return error_set(error, STATUS_FORMAT, "built without libtiff");
}

void tiff_file_close(struct tiff_file *tiff)
{
    (void)tiff;
}

#endif
