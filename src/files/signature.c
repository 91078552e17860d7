#include "files/signature.h"

#include <string.h>

struct mark {
    size_t offset;
    const char *bytes;
    size_t length;
    enum signature kind;
    const char *name;
};

/* Longer marks stand before the shorter ones that they begin with. */
static const struct mark marks[] = {
    {0, "\xff\xd8\xff", 3, SIGNATURE_JPEG, "a JPEG picture"},
    {0, "\x89PNG\r\n\x1a\n", 8, SIGNATURE_PNG, "a PNG picture"},
    {4, "ftyphei", 7, SIGNATURE_HEIF, "a HEIC picture"},
    {4, "ftyphev", 7, SIGNATURE_HEIF, "a HEIC picture"},
    {4, "ftypmif", 7, SIGNATURE_HEIF, "a HEIC picture"},
    {4, "ftypmsf", 7, SIGNATURE_HEIF, "a HEIC picture"},
    {4, "ftypavi", 7, SIGNATURE_OTHER, "an AVIF picture"},
    {4, "ftypcrx", 7, SIGNATURE_RAW, "a camera's raw file"},
    {0, "FUJIFILMCCD-RAW", 15, SIGNATURE_RAW, "a camera's raw file"},
    {4, "ftyp", 4, SIGNATURE_OTHER, "a film or another picture format"},
    {0, "II*\0\x10\0\0\0CR", 10, SIGNATURE_RAW, "a camera's raw file"},
    {0, "IIRO", 4, SIGNATURE_RAW, "a camera's raw file"},
    {0, "IIRS", 4, SIGNATURE_RAW, "a camera's raw file"},
    {0, "IIU\0", 4, SIGNATURE_RAW, "a camera's raw file"},
    {0, "II*\0", 4, SIGNATURE_TIFF, "a TIFF picture or a camera's raw file"},
    {0, "MM\0*", 4, SIGNATURE_TIFF, "a TIFF picture or a camera's raw file"},
    {0, "II+\0", 4, SIGNATURE_TIFF, "a TIFF picture"},
    {0, "MM\0+", 4, SIGNATURE_TIFF, "a TIFF picture"},
    {8, "WEBP", 4, SIGNATURE_OTHER, "a WebP picture"},
    {0, "GIF8", 4, SIGNATURE_OTHER, "a GIF picture"},
    {0, "BM", 2, SIGNATURE_OTHER, "a BMP picture"},
    {0, "\0\0\0\x0cJXL ", 8, SIGNATURE_OTHER, "a JPEG XL picture"},
    {0, "\xff\x0a", 2, SIGNATURE_OTHER, "a JPEG XL picture"},
    {0, "\0\0\0\x0cjP  ", 8, SIGNATURE_OTHER, "a JPEG 2000 picture"},
    {0, "%PDF", 4, SIGNATURE_OTHER, "a PDF document"},
};

/* Plain characters, mostly; bytes from 0x80 on may be letters of UTF-8. */
static int is_text(const unsigned char *bytes, size_t size)
{
    size_t plain = 0;

    for (size_t i = 0; i < size; i++) {
        if (bytes[i] == 0x7f || (bytes[i] < ' ' && !memchr("\t\r\n\f", bytes[i], 4)))
            return 0;
        plain += bytes[i] < 0x80;
    }
    return 2 * plain > size;
}

enum signature signature_recognise(const unsigned char *bytes, size_t size, const char **name)
{
    for (size_t i = 0; i < sizeof marks / sizeof *marks; i++) {
        const struct mark *mark = &marks[i];

        if (mark->offset + mark->length <= size &&
            !memcmp(bytes + mark->offset, mark->bytes, mark->length)) {
            *name = mark->name;
            return mark->kind;
        }
    }
    *name = is_text(bytes, size) ? "a text file" : "no picture format woad knows";
    return SIGNATURE_OTHER;
}
