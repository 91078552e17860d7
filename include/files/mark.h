#ifndef WOAD_FILES_MARK_H
#define WOAD_FILES_MARK_H

#include <stdbool.h>
#include <stddef.h>
#include <stdio.h>

/*
 * The mark by which woad knows what it made: a PNG's text on its software, a
 * JPEG's comment, the last line of an SVG, PDF or HTML page, the creator of an ICC profile.
 */
#define MARK_TEXT "made by woad"
#define MARK_ICC_CREATOR "woad" /* at byte 80 of a profile. Source: ICC.1:2022, 7.2.17 */
#define MARK_ICC_CREATOR_AT 80

/* A PNG's text chunk that says it, to be put behind the header chunk, at byte 33. */
#define MARK_PNG_AT 33
#define MARK_PNG_BYTES 33
extern const unsigned char mark_png[MARK_PNG_BYTES];

/* A PNG on its way to its file, written by a library that can't put the mark in itself. */
struct mark_png_stream {
    FILE *file;
    size_t written; /* without the mark */
};

/** Write more bytes of a PNG, and the mark behind its header. Returns whether all was written. */
bool mark_png_write(struct mark_png_stream *stream, const unsigned char *bytes, size_t length);

#define MARK_HEAD_BYTES 8192 /* of a file, in which its mark lies, */
#define MARK_TAIL_BYTES 64   /* or of its end */

/** Tell whether the first or last bytes of a file bear the mark. */
bool mark_is_in(const unsigned char *bytes, size_t size);

#endif
