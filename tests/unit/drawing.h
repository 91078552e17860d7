#ifndef WOAD_TESTS_DRAWING_H
#define WOAD_TESTS_DRAWING_H

/*
 * Small photos drawn in memory: quads of even colour, a card, a chart. Colours
 * are linear light, 0 to 1; the photo holds them sRGB-encoded (IEC 61966-2-1).
 * Edges are mixed and blurred in linear light, as a lens does it.
 */

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "card_values.h"
#include "files/photo.h"
#include "files/profile.h"
#include "values/colour.h"
#include "values/geometry.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define DRAWING_PHOTO "allotment/seed packets.jpg"
#define DRAWING_SUBSAMPLES 8 /* along each side of a pixel */
#define DRAWING_BLUR_REACH 12

static const struct rgb drawing_paper = {{0.80, 0.79, 0.75}};
static const struct rgb drawing_desk = {{0.09, 0.06, 0.04}};
static const struct rgb drawing_frame = {{0.02, 0.02, 0.02}};

static inline void drawing_assert_near(double seen, double wanted, double within)
{
    if (!(fabs(seen - wanted) <= within))
        fail_msg("%g was wanted, to within %g, not %g", wanted, within, seen);
}

/* --- chance --- */

/* The next of a row of numbers from 0 to 1; Source: Marsaglia 2003, xorshift. */
static inline double drawing_random(uint32_t *seed)
{
    *seed ^= *seed << 13;
    *seed ^= *seed >> 17;
    *seed ^= *seed << 5;
    return *seed / 4294967296.0;
}

/* The first of each row are much alike. */
static inline uint32_t drawing_seed(unsigned number)
{
    uint32_t seed = 2463534242U + 0x9E3779B9U * number;

    for (int i = 0; i < 20; i++)
        drawing_random(&seed);
    return seed;
}

/* --- colours --- */

static inline uint16_t drawing_encode(double linear)
{
    double value = fmin(fmax(linear, 0), 1);

    value = value <= 0.0031308 ? 12.92 * value : 1.055 * pow(value, 1 / 2.4) - 0.055;
    return (uint16_t)lround(value * IMAGE_SAMPLE_MAX);
}

static inline double drawing_decode(double encoded)
{
    return encoded <= 0.04045 ? encoded / 12.92 : pow((encoded + 0.055) / 1.055, 2.4);
}

/* A grey of a level of 255, as encoded. */
static inline struct rgb drawing_grey(double level)
{
    double linear = drawing_decode(level / 255);

    return (struct rgb){{linear, linear, linear}};
}

static inline struct rgb drawing_colour(struct lab lab)
{
    struct rgb rgb;

    colour_srgb_from_lab(&lab, 1, &rgb);
    for (int k = 0; k < 3; k++)
        rgb.channel[k] = drawing_decode(rgb.channel[k]);
    return rgb;
}

/* A colour in another light; {1, 1, 1} leaves it. */
static inline struct rgb drawing_lit(struct rgb colour, struct rgb light)
{
    for (int k = 0; k < 3; k++)
        colour.channel[k] *= light.channel[k];
    return colour;
}

/* An ink that the card's colours support, and that paper is not taken for. */
static inline struct lab drawing_ink(uint32_t *seed)
{
    struct lab lab;

    lab.L = 25 + 50 * drawing_random(seed);
    lab.a = -25 + 60 * drawing_random(seed);
    lab.b = -30 + 70 * drawing_random(seed);
    return lab;
}

/* --- the photo --- */

static inline void drawing_fill(struct photo *photo, struct rgb colour)
{
    for (int y = 0; y < photo->image.height_px; y++)
        for (int x = 0; x < photo->image.width_px; x++)
            for (int k = 0; k < 3; k++)
                image_at(&photo->image, x, y)[k] = drawing_encode(colour.channel[k]);
}

static inline void drawing_create(int width_px, int height_px, struct rgb ground,
                                  struct photo *photo)
{
    struct profile profile = {0};
    struct error error = {0};

    memset(photo, 0, sizeof *photo);
    snprintf(photo->path, sizeof photo->path, "%s", DRAWING_PHOTO);
    photo->scale = 2;
    photo->stored_width_px = 2 * width_px;
    photo->stored_height_px = 2 * height_px;
    if (image_create(width_px, height_px, &photo->image, &error) || profile_srgb(&profile, &error))
        fail_msg("%s", error.message);
    photo->linear_from_sample = profile.linear_from_sample;
    drawing_fill(photo, ground);
}

static inline void drawing_mix(struct photo *photo, int x, int y, struct rgb colour, double cover)
{
    uint16_t *pixel = image_at(&photo->image, x, y);

    for (int k = 0; k < 3; k++) {
        double before = photo_linear(photo, k, pixel[k]);

        pixel[k] = drawing_encode(before + (colour.channel[k] - before) * cover);
    }
}

/* The part of a pixel that lies in a quad. */
static inline double drawing_cover(const struct quad *quad, int x, int y)
{
    const double step = 1.0 / DRAWING_SUBSAMPLES;
    int inside = 0, corners = 0;

    for (int i = 0; i < 4; i++)
        corners += quad_contains(quad, (struct point){x + i % 2, y + (double)(i / 2)});
    if (corners == 4)
        return 1;
    for (int i = 0; i < DRAWING_SUBSAMPLES; i++)
        for (int j = 0; j < DRAWING_SUBSAMPLES; j++)
            inside +=
                quad_contains(quad, (struct point){x + (j + 0.5) * step, y + (i + 0.5) * step});
    return inside * step * step;
}

/* Fill a convex quad; what of it lies outside the photo is not drawn. */
static inline void drawing_quad(struct photo *photo, const struct quad *quad, struct rgb colour)
{
    struct point low = quad->corner[0], high = quad->corner[0];

    for (int i = 1; i < 4; i++) {
        low.x = fmin(low.x, quad->corner[i].x);
        low.y = fmin(low.y, quad->corner[i].y);
        high.x = fmax(high.x, quad->corner[i].x);
        high.y = fmax(high.y, quad->corner[i].y);
    }
    for (int y = (int)fmax(floor(low.y), 0); y < photo->image.height_px && y < high.y; y++)
        for (int x = (int)fmax(floor(low.x), 0); x < photo->image.width_px && x < high.x; x++) {
            double cover = drawing_cover(quad, x, y);

            if (cover > 0)
                drawing_mix(photo, x, y, colour, cover);
        }
}

static inline struct quad drawing_upright(double left, double top, double width, double height)
{
    return (struct quad){
        {{left, top}, {left + width, top}, {left + width, top + height}, {left, top + height}}};
}

static inline void drawing_box(struct photo *photo, double left, double top, double width,
                               double height, struct rgb colour)
{
    struct quad quad = drawing_upright(left, top, width, height);

    drawing_quad(photo, &quad, colour);
}

/* --- what lens and sensor do --- */

static inline double drawing_blurred(const struct photo *photo, const float *from, size_t at,
                                     size_t step, const double *weight)
{
    int place = step == 1 ? (int)(at % (size_t)photo->image.width_px)
                          : (int)(at / (size_t)photo->image.width_px);
    int last = (step == 1 ? photo->image.width_px : photo->image.height_px) - 1;
    double sum = 0;

    for (int i = -DRAWING_BLUR_REACH; i <= DRAWING_BLUR_REACH; i++) {
        int other = place + i < 0 ? 0 : place + i > last ? last : place + i;

        sum += weight[abs(i)] * (double)from[at + (size_t)other * step - (size_t)place * step];
    }
    return sum;
}

/* Blur by a Gaussian of a given deviation. */
static inline void drawing_blur(struct photo *photo, double deviation_px)
{
    size_t width = (size_t)photo->image.width_px;
    size_t count = width * (size_t)photo->image.height_px;
    float *plane = malloc(2 * count * sizeof *plane);
    float *across = plane + count;
    double weight[DRAWING_BLUR_REACH + 1], sum = 0;

    assert_non_null(plane);
    for (int i = 0; i <= DRAWING_BLUR_REACH; i++) {
        weight[i] = exp(-i * i / (2 * deviation_px * deviation_px));
        sum += i ? 2 * weight[i] : weight[i];
    }
    for (int i = 0; i <= DRAWING_BLUR_REACH; i++)
        weight[i] /= sum;
    for (int k = 0; k < 3; k++) {
        for (size_t i = 0; i < count; i++)
            plane[i] = photo_linear(photo, k, photo->image.samples[3 * i + (size_t)k]);
        for (size_t i = 0; i < count; i++)
            across[i] = (float)drawing_blurred(photo, plane, i, 1, weight);
        for (size_t i = 0; i < count; i++)
            photo->image.samples[3 * i + (size_t)k] =
                drawing_encode(drawing_blurred(photo, across, i, width, weight));
    }
    free(plane);
}

/* Move every sample by up to `levels` of 255, either way. */
static inline void drawing_noise(struct photo *photo, double levels, uint32_t seed)
{
    size_t count = (size_t)photo->image.width_px * (size_t)photo->image.height_px * 3;

    for (size_t i = 0; i < count; i++) {
        double moved = photo->image.samples[i] + 257 * levels * (2 * drawing_random(&seed) - 1);

        photo->image.samples[i] = (uint16_t)fmin(fmax(moved, 0), IMAGE_SAMPLE_MAX);
    }
}

/* --- card and chart --- */

/* A grid of cells laid over a quad: cell (0, 0) at the quad's first corner. */
struct drawing_grid {
    struct quad outer; /* the outer corners of the corner cells' full pitch */
    int columns;
    int rows;
    double fill; /* of the pitch that a cell fills */
};

static inline struct quad drawing_part(const struct drawing_grid *grid, struct point top_left,
                                       struct point bottom_right)
{
    struct homography map;
    struct error error = {0};
    struct quad part = {
        {top_left, {bottom_right.x, top_left.y}, bottom_right, {top_left.x, bottom_right.y}}};

    if (homography_from_quad(&grid->outer, &map, &error))
        fail_msg("%s", error.message);
    for (int i = 0; i < 4; i++) {
        part.corner[i].x /= grid->columns;
        part.corner[i].y /= grid->rows;
        part.corner[i] = homography_apply(&map, part.corner[i]);
    }
    return part;
}

/* The outline of one cell as drawn. */
static inline struct quad drawing_cell(const struct drawing_grid *grid, int row, int column)
{
    double rim = (1 - grid->fill) / 2;

    return drawing_part(grid, (struct point){column + rim, row + rim},
                        (struct point){column + 1 - rim, row + 1 - rim});
}

/* The outer corners of the corner cells. */
static inline struct quad drawing_corners(const struct drawing_grid *grid)
{
    double rim = (1 - grid->fill) / 2;

    return drawing_part(grid, (struct point){rim, rim},
                        (struct point){grid->columns - rim, grid->rows - rim});
}

/* The whole grid with a margin, in pitches. */
static inline void drawing_ground(struct photo *photo, const struct drawing_grid *grid,
                                  double margin, struct rgb colour)
{
    struct quad ground = drawing_part(grid, (struct point){-margin, -margin},
                                      (struct point){grid->columns + margin, grid->rows + margin});

    drawing_quad(photo, &ground, colour);
}

/* A card of 6 x 4 patches whose brown patch lies at the quad's first corner. */
static inline struct drawing_grid drawing_card_grid(struct quad outer)
{
    return (struct drawing_grid){outer, CARD_COLUMNS, CARD_ROWS, 0.84};
}

static inline void drawing_card(struct photo *photo, const struct drawing_grid *grid,
                                const struct card *card, struct rgb light)
{
    drawing_ground(photo, grid, 0.08, drawing_lit(drawing_frame, light));
    for (int i = 0; i < CARD_PATCHES; i++) {
        struct quad patch = drawing_cell(grid, i / CARD_COLUMNS, i % CARD_COLUMNS);

        drawing_quad(photo, &patch, drawing_lit(drawing_colour(card->patch[i]), light));
    }
}

/* A sheet of paper with cells of ink on it, row by row; cells whose L is 0 are left blank. */
static inline void drawing_chart(struct photo *photo, const struct drawing_grid *grid,
                                 const struct lab *inks)
{
    drawing_ground(photo, grid, 0.4, drawing_paper);
    for (int i = 0; i < grid->rows * grid->columns; i++) {
        struct quad cell = drawing_cell(grid, i / grid->columns, i % grid->columns);

        if (inks[i].L > 0)
            drawing_quad(photo, &cell, drawing_colour(inks[i]));
    }
}

/* --- corners --- */

/* How far apart the corners of two quads lie at most. */
static inline double drawing_distance(const struct quad *a, const struct quad *b)
{
    double most = 0;

    for (int i = 0; i < 4; i++)
        most = fmax(most, point_distance(a->corner[i], b->corner[i]));
    return most;
}

/* The same quad, its corners counted from another one on. */
static inline struct quad drawing_turned(const struct quad *quad, int first)
{
    struct quad turned;

    for (int i = 0; i < 4; i++)
        turned.corner[i] = quad->corner[(i + first) % 4];
    return turned;
}

/* A quad turned about its centre. */
static inline struct quad drawing_rotated(const struct quad *quad, double degrees)
{
    double c = cos(degrees * 0.017453292519943295), s = sin(degrees * 0.017453292519943295);
    struct point centre = quad_centre(quad);
    struct quad turned;

    for (int i = 0; i < 4; i++) {
        struct point off = point_subtract(quad->corner[i], centre);

        turned.corner[i] =
            point_add(centre, (struct point){c * off.x - s * off.y, s * off.x + c * off.y});
    }
    return turned;
}

/* How a flat thing lies before the camera. */
struct drawing_view {
    struct point centre; /* where its middle is seen */
    double width_px;
    double height_px;
    double tilt_degrees;
    double axis_degrees; /* which way it tilts */
    double distance_px;  /* of the camera, in the same pixels */
};

/* A flat thing as a camera sees it. */
static inline struct quad drawing_tilted(const struct drawing_view *view)
{
    const double degree = 0.017453292519943295;
    double tilt = view->tilt_degrees * degree, axis = view->axis_degrees * degree;
    struct quad quad =
        drawing_upright(-view->width_px / 2, -view->height_px / 2, view->width_px, view->height_px);

    for (int i = 0; i < 4; i++) {
        struct point flat = quad.corner[i];
        double along = flat.x * cos(axis) + flat.y * sin(axis);
        double across = flat.y * cos(axis) - flat.x * sin(axis);
        double nearer = view->distance_px / (view->distance_px - across * sin(tilt));

        across *= cos(tilt);
        flat.x = (along * cos(axis) - across * sin(axis)) * nearer;
        flat.y = (along * sin(axis) + across * cos(axis)) * nearer;
        quad.corner[i] = point_add(view->centre, flat);
    }
    return quad;
}

/* Whether a message names the photo, and tells what to do by one of the words given. */
static inline void drawing_assert_helpful(const struct error *error, const char *seen,
                                          const char *advice)
{
    if (!strstr(error->message, DRAWING_PHOTO))
        fail_msg("the photo is not named: %s", error->message);
    if (!strstr(error->message, seen) || !strstr(error->message, advice))
        fail_msg("'%s' and '%s' were wanted: %s", seen, advice, error->message);
}

#endif
