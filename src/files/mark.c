#include "files/mark.h"

#include <string.h>

/* Source: PNG (Third Edition), 11.3.3.2; the check sum of its last four bytes by zlib's crc32. */
const unsigned char mark_png[MARK_PNG_BYTES] = {
    0,   0,   0,   21,  't', 'E', 'X', 't', 'S', 'o', 'f', 't', 'w',  'a',  'r',  'e', 0,
    'm', 'a', 'd', 'e', ' ', 'b', 'y', ' ', 'w', 'o', 'a', 'd', 0x88, 0x12, 0x4b, 0xee};

bool mark_png_write(struct mark_png_stream *stream, const unsigned char *bytes, size_t length)
{
    size_t header = stream->written < MARK_PNG_AT ? MARK_PNG_AT - stream->written : 0;
    size_t before = header < length ? header : length;
    bool written = fwrite(bytes, 1, before, stream->file) == before;

    if (written && header && before == header)
        written = fwrite(mark_png, 1, MARK_PNG_BYTES, stream->file) == MARK_PNG_BYTES;
    if (written)
        written = fwrite(bytes + before, 1, length - before, stream->file) == length - before;
    stream->written += length;
    return written;
}

static bool is_marked_profile(const unsigned char *bytes, size_t size)
{
    static const size_t signature_at = 36;
    const size_t length = strlen(MARK_ICC_CREATOR);

    return size >= MARK_ICC_CREATOR_AT + length && !memcmp(bytes + signature_at, "acsp", 4) &&
           !memcmp(bytes + MARK_ICC_CREATOR_AT, MARK_ICC_CREATOR, length);
}

bool mark_is_in(const unsigned char *bytes, size_t size)
{
    const size_t length = strlen(MARK_TEXT);

    for (size_t i = 0; i + length <= size; i++)
        if (!memcmp(bytes + i, MARK_TEXT, length))
            return true;
    return is_marked_profile(bytes, size);
}
