#include "format.h"

#include "absent.h"
#include "heif_file.h"
#include "jpeg_file.h"
#include "png_file.h"
#include "raw_file.h"
#include "tiff_file.h"

#include <stddef.h>

static const struct format formats[] = {
    {SIGNATURE_JPEG, jpeg_file_open, jpeg_file_scale, jpeg_file_decode, jpeg_file_close},
    {SIGNATURE_PNG, png_file_open, NULL, png_file_decode, png_file_close},
#ifdef WOAD_HEIF
    {SIGNATURE_HEIF, heif_file_open, NULL, heif_file_decode, heif_file_close},
#else
    {SIGNATURE_HEIF, absent_heif, NULL, NULL, absent_close},
#endif
#ifdef WOAD_TIFF
    {SIGNATURE_TIFF, tiff_file_open, NULL, tiff_file_decode, tiff_file_close},
#else
    {SIGNATURE_TIFF, absent_tiff, NULL, NULL, absent_close},
#endif
#ifdef WOAD_RAW
    {SIGNATURE_RAW, raw_file_open, raw_file_scale, raw_file_decode, raw_file_close},
#else
    {SIGNATURE_RAW, absent_raw, NULL, NULL, absent_close},
#endif
};

const struct format *format_of(enum signature signature)
{
    for (size_t i = 0; i < sizeof formats / sizeof *formats; i++)
        if (formats[i].signature == signature)
            return &formats[i];
    return NULL;
}
