#include "vision/sampling.h"

#include "base/memory.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define CLIPPED_LOW 2 /* of 255 */
#define CLIPPED_HIGH 253
#define OUTLIER_DEVIATIONS 3.0
#define NORMAL_DEVIATION_PER_MAD 1.4826
#define LEVELS 256
#define INDEPENDENT_PIXELS 16.0 /* pixels of a photo that vary as one */
#define PIXELS_ENOUGH                                                                              \
    2048 /* more add no accuracy: areas of four times as many, or more, are thinned */

/* The pixels of an area, encoded, and their count. */
struct pixels {
    const uint16_t **items;
    int count;
    int clipped;
    int brighter;
};

struct box {
    int left, top, right, bottom; /* right and bottom are one past the end */
};

static struct box box_of(const struct quad *quad, const struct image *image)
{
    struct box box = {image->width_px, image->height_px, 0, 0};

    for (int i = 0; i < 4; i++) {
        double x = fmin(fmax(quad->corner[i].x, 0), image->width_px);
        double y = fmin(fmax(quad->corner[i].y, 0), image->height_px);

        box.left = (int)floor(x) < box.left ? (int)floor(x) : box.left;
        box.top = (int)floor(y) < box.top ? (int)floor(y) : box.top;
        box.right = (int)ceil(x) > box.right ? (int)ceil(x) : box.right;
        box.bottom = (int)ceil(y) > box.bottom ? (int)ceil(y) : box.bottom;
    }
    return box;
}

static bool is_clipped(const uint16_t *pixel)
{
    for (int k = 0; k < IMAGE_CHANNELS; k++) {
        int level = pixel[k] >> 8;

        if (level <= CLIPPED_LOW || level >= CLIPPED_HIGH)
            return true;
    }
    return false;
}

static void gather_pixels(const struct image *image, const struct quad *quad, struct box box,
                          int step, struct pixels *pixels)
{
    for (int y = box.top; y < box.bottom; y += step)
        for (int x = box.left; x < box.right; x += step) {
            const uint16_t *pixel = image_at(image, x, y);

            if (!quad_contains(quad, (struct point){x + 0.5, y + 0.5}))
                continue;
            pixels->items[pixels->count++] = pixel;
            pixels->clipped += is_clipped(pixel);
        }
}

/* The level, of 256, that half of the counted values do not pass. */
static int median_level(const int counts[LEVELS], int total)
{
    int level = 0, below = counts[0];

    while (below * 2 < total)
        below += counts[++level];
    return level;
}

/* How far from its median one channel's pixels may lie, in samples: by counting, which is exact
 * enough for a bound and much faster than sorting. */
static void consistent_range(const struct pixels *pixels, int channel, int *low, int *high)
{
    int counts[LEVELS] = {0}, distances[LEVELS] = {0};
    int median, reach;

    for (int i = 0; i < pixels->count; i++)
        counts[pixels->items[i][channel] >> 8]++;
    median = median_level(counts, pixels->count);
    for (int level = 0; level < LEVELS; level++)
        distances[abs(level - median)] += counts[level];
    reach = (int)(OUTLIER_DEVIATIONS * NORMAL_DEVIATION_PER_MAD *
                  (median_level(distances, pixels->count) + 0.5));
    *low = (median - reach) * LEVELS;
    *high = (median + reach + 1) * LEVELS - 1;
}

/* Leave out pixels that stand apart from the median of any channel; the number kept. */
static int keep_consistent(struct pixels *pixels)
{
    int low[IMAGE_CHANNELS], high[IMAGE_CHANNELS];
    int kept = 0;

    for (int k = 0; k < IMAGE_CHANNELS; k++)
        consistent_range(pixels, k, &low[k], &high[k]);
    for (int i = 0; i < pixels->count; i++) {
        const uint16_t *p = pixels->items[i];

        if (p[0] >= low[0] && p[0] <= high[0] && p[1] >= low[1] && p[1] <= high[1] &&
            p[2] >= low[2] && p[2] <= high[2])
            pixels->items[kept++] = p;
        else if (p[0] > high[0] || p[1] > high[1] || p[2] > high[2])
            pixels->brighter++;
    }
    return kept;
}

static void summarise(const struct photo *photo, const struct pixels *pixels, int kept,
                      struct area_sample *sample)
{
    for (int k = 0; k < IMAGE_CHANNELS; k++) {
        double sum = 0, squares = 0;

        for (int i = 0; i < kept; i++) {
            double value = photo_linear(photo, k, pixels->items[i][k]);

            sum += value;
            squares += value * value;
        }
        sample->rgb_linear.channel[k] = sum / kept;
        sample->deviation_linear.channel[k] =
            kept > 1 ? sqrt(fmax(squares - sum * sum / kept, 0) / (kept - 1)) : 0;
    }
    sample->pixels = pixels->count;
    sample->kept = kept;
    sample->brighter = (double)pixels->brighter / pixels->count;
    sample->clipped = (double)pixels->clipped / pixels->count;
}

static int thinning_of(const struct quad *quad)
{
    int step = (int)sqrt(fabs(quad_area(quad)) / PIXELS_ENOUGH);

    return step > 1 ? step : 1;
}

enum status sampling_area(const struct photo *photo, const struct quad *quad,
                          struct area_sample *sample, struct error *error)
{
    struct box box = box_of(quad, &photo->image);
    int step = thinning_of(quad);
    size_t room =
        (size_t)((box.right - box.left) / step + 1) * (size_t)((box.bottom - box.top) / step + 1);
    struct pixels pixels = {0};

    if (box.right <= box.left || box.bottom <= box.top)
        room = 0;
    pixels.items = memory_array(room, sizeof *pixels.items, "an area's pixels", error);
    if (!pixels.items)
        return error->status;
    if (room)
        gather_pixels(&photo->image, quad, box, step, &pixels);
    if (pixels.count >= SAMPLING_PIXELS_MIN) {
        sample->at = quad_centre(quad);
        summarise(photo, &pixels, keep_consistent(&pixels), sample);
    }
    free(pixels.items);
    if (pixels.count < SAMPLING_PIXELS_MIN)
        return error_set(error, STATUS_QUALITY,
                         "%s: an area near (%.0f, %.0f) has %d pixels, %d or more are needed; "
                         "photograph from nearer",
                         photo->path, quad_centre(quad).x * photo->scale,
                         quad_centre(quad).y * photo->scale, pixels.count, SAMPLING_PIXELS_MIN);
    return STATUS_OK;
}

struct log_light sampling_log_light(const struct rgb *rgb_linear)
{
    const double *rgb = rgb_linear->channel;

    return (struct log_light){(log(rgb[0]) + log(rgb[1]) + log(rgb[2])) / 3,
                              {log(rgb[0] / rgb[1]), log(rgb[2] / rgb[1])}};
}

bool sampling_same_tint(const struct log_light *a, const struct log_light *b, double step)
{
    return fabs(a->tint[0] - b->tint[0]) < step && fabs(a->tint[1] - b->tint[1]) < step;
}

double sampling_spread(const struct area_sample *sample)
{
    double spread = 0;

    for (int k = 0; k < IMAGE_CHANNELS; k++)
        spread = fmax(spread, sample->deviation_linear.channel[k] / sample->rgb_linear.channel[k]);
    return spread;
}

double sampling_independent(const struct area_sample *sample)
{
    return fmax(sample->kept / INDEPENDENT_PIXELS, 1);
}

bool sampling_glance(const struct photo *photo, struct point at, int radius_px,
                     struct rgb *rgb_linear)
{
    int x = (int)floor(at.x), y = (int)floor(at.y);
    double count = (2 * radius_px + 1) * (2 * radius_px + 1);

    if (!(at.x > radius_px && at.y > radius_px) || at.x + radius_px + 1 > photo->image.width_px ||
        at.y + radius_px + 1 > photo->image.height_px)
        return false;
    *rgb_linear = (struct rgb){{0, 0, 0}};
    for (int dy = -radius_px; dy <= radius_px; dy++)
        for (int dx = -radius_px; dx <= radius_px; dx++)
            for (int k = 0; k < IMAGE_CHANNELS; k++)
                rgb_linear->channel[k] +=
                    photo_linear(photo, k, image_at(&photo->image, x + dx, y + dy)[k]) / count;
    return true;
}

int sampling_points(const struct photo *photo, const struct quad *quad, int side,
                    struct rgb *rgb_linear)
{
    int count = 0;

    for (int i = 0; i < side; i++)
        for (int j = 0; j < side; j++) {
            double u = (j + 0.5) / side, v = (i + 0.5) / side;
            struct point upper = point_between(quad->corner[0], quad->corner[1], u);
            struct point lower = point_between(quad->corner[3], quad->corner[2], u);

            count += sampling_glance(photo, point_between(upper, lower, v), 1, &rgb_linear[count]);
        }
    return count;
}
