#include "absent.h"

#include <string.h>

static enum status refuse(const char *path, const char *what, const char *library,
                          struct error *error)
{
    return error_set(error, STATUS_FORMAT,
                     "%s: is %s, and this woad was built without %s: install the package %s-dev "
                     "and build woad again (make clean, make), or export the photo as JPEG or PNG",
                     path, what, library, library);
}

enum status absent_heif(FILE *file, const char *path, void **decoder, struct header *header,
                        struct error *error)
{
    (void)file;
    (void)decoder;
    (void)header;
    return refuse(path, "a HEIC picture", "libheif", error);
}

enum status absent_tiff(FILE *file, const char *path, void **decoder, struct header *header,
                        struct error *error)
{
    (void)file;
    (void)decoder;
    (void)header;
    return refuse(path, "a TIFF picture or a camera's raw file", "libtiff", error);
}

enum status absent_raw(FILE *file, const char *path, void **decoder, struct header *header,
                       struct error *error)
{
    (void)file;
    (void)decoder;
    (void)header;
    return refuse(path, "a camera's raw file", "libraw", error);
}

void absent_close(void *decoder)
{
    (void)decoder;
}
