#include "rows.h"

#include "base/memory.h"

#include <stdlib.h>
#include <string.h>

#define FACTOR_MAX 256 /* the sum of its square of samples still fits 32 bits */

/* Where the stored picture's lines run in the upright one. */
struct course {
    uint16_t *origin;
    ptrdiff_t along; /* samples from a pixel to the next of its line */
    ptrdiff_t down;  /* samples from a line to the next */
};

static int factor_for(int width_px, int height_px, long long pixels_max)
{
    int shorter = width_px < height_px ? width_px : height_px;
    int factor_max = shorter < FACTOR_MAX ? shorter : FACTOR_MAX;
    int factor = 1;

    while (pixels_max > 0 && factor < factor_max &&
           (long long)(width_px / factor) * (height_px / factor) > pixels_max)
        factor++;
    return factor;
}

static int is_transposed(int orientation)
{
    return orientation >= 5;
}

enum status rows_begin(struct rows *rows, const struct rows_incoming *incoming,
                       const struct profile *profile, struct image *image, struct error *error)
{
    int factor = factor_for(incoming->width_px, incoming->height_px, incoming->pixels_max);
    int width_px = incoming->width_px / factor;
    int height_px = incoming->height_px / factor;
    int turned = is_transposed(incoming->orientation);
    size_t line = (size_t)incoming->width_px * IMAGE_CHANNELS;
    enum status status =
        image_create(turned ? height_px : width_px, turned ? width_px : height_px, image, error);

    *rows = (struct rows){.image = image,
                          .profile = profile,
                          .orientation = incoming->orientation,
                          .factor = factor,
                          .incoming_px = incoming->width_px,
                          .width_px = width_px,
                          .height_px = height_px};
    if (!status && !(rows->batch = memory_array(ROWS_BATCH * line, sizeof *rows->batch,
                                                "a photo's lines", error)))
        status = error->status;
    if (!status && factor > 1 &&
        (!(rows->line = memory_array(line, sizeof *rows->line, "a photo's lines", error)) ||
         !(rows->sums = memory_array(line, sizeof *rows->sums, "a photo's lines", error))))
        status = error->status;
    return status;
}

static uint16_t *batch_line(const struct rows *rows, int index)
{
    return rows->batch + (size_t)index * (size_t)rows->width_px * IMAGE_CHANNELS;
}

/* EXIF's orientations: 1 upright, 2 mirrored, 3 by half a turn, 4 upside down, 5 to 8 the same with
 * lines and columns exchanged. */
static struct course course_of(const struct rows *rows)
{
    const struct image *image = rows->image;
    ptrdiff_t right = IMAGE_CHANNELS;
    ptrdiff_t below = (ptrdiff_t)image->width_px * IMAGE_CHANNELS;
    int o = rows->orientation;
    int from_right = o == 2 || o == 3 || o == 6 || o == 7;
    int from_bottom = o == 3 || o == 4 || o == 7 || o == 8;
    struct course course = {.origin = image_at(image, from_right ? image->width_px - 1 : 0,
                                               from_bottom ? image->height_px - 1 : 0)};

    right = from_right ? -right : right;
    below = from_bottom ? -below : below;
    course.along = is_transposed(o) ? below : right;
    course.down = is_transposed(o) ? right : below;
    return course;
}

static void copy_pixel(uint16_t *to, const uint16_t *from)
{
    to[0] = from[0];
    to[1] = from[1];
    to[2] = from[2];
}

static void store_lines(const struct rows *rows, struct course course, uint16_t *first)
{
    for (int i = 0; i < rows->waiting; i++) {
        const uint16_t *from = batch_line(rows, i);
        uint16_t *to = first + i * course.down;

        if (course.along == IMAGE_CHANNELS)
            memcpy(to, from, (size_t)rows->width_px * IMAGE_CHANNELS * sizeof *to);
        else
            for (int x = 0; x < rows->width_px; x++)
                copy_pixel(to + x * course.along, from + x * IMAGE_CHANNELS);
    }
}

static void store_columns(const struct rows *rows, struct course course, uint16_t *first)
{
    ptrdiff_t line = (ptrdiff_t)rows->width_px * IMAGE_CHANNELS;

    for (int x = 0; x < rows->width_px; x++)
        for (int i = 0; i < rows->waiting; i++)
            copy_pixel(first + x * course.along + i * course.down,
                       rows->batch + i * line + x * IMAGE_CHANNELS);
}

static void store_batch(struct rows *rows)
{
    struct course course = course_of(rows);
    uint16_t *first = course.origin + rows->stored * course.down;

    profile_convert(rows->profile, rows->batch, (size_t)rows->waiting * (size_t)rows->width_px);
    if (is_transposed(rows->orientation))
        store_columns(rows, course, first);
    else
        store_lines(rows, course, first);
    rows->stored += rows->waiting;
    rows->waiting = 0;
}

uint16_t *rows_line(struct rows *rows)
{
    return rows->factor > 1 ? rows->line : batch_line(rows, rows->waiting);
}

static void sum_line(struct rows *rows)
{
    int factor = rows->factor;
    const uint16_t *from = rows->line;

    for (int x = 0; x < rows->width_px; x++) {
        uint32_t *sum = rows->sums + (size_t)x * IMAGE_CHANNELS;

        for (int i = 0; i < factor; i++, from += IMAGE_CHANNELS)
            for (int k = 0; k < IMAGE_CHANNELS; k++)
                sum[k] += from[k];
    }
    rows->summed++;
}

static void average_lines(struct rows *rows)
{
    uint16_t *to = batch_line(rows, rows->waiting);
    uint32_t square = (uint32_t)rows->factor * (uint32_t)rows->factor;
    size_t samples = (size_t)rows->width_px * IMAGE_CHANNELS;

    for (size_t i = 0; i < samples; i++)
        to[i] = (uint16_t)((rows->sums[i] + square / 2) / square);
    memset(rows->sums, 0, samples * sizeof *rows->sums);
    rows->summed = 0;
}

void rows_add(struct rows *rows)
{
    if (rows->stored + rows->waiting >= rows->height_px)
        return;
    if (rows->factor > 1) {
        sum_line(rows);
        if (rows->summed < rows->factor)
            return;
        average_lines(rows);
    }
    rows->waiting++;
    if (rows->waiting == ROWS_BATCH)
        store_batch(rows);
}

void rows_finish(struct rows *rows)
{
    if (rows->waiting)
        store_batch(rows);
}

void rows_release(struct rows *rows)
{
    free(rows->batch);
    free(rows->line);
    free(rows->sums);
    memset(rows, 0, sizeof *rows);
}
