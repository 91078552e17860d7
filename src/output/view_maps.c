#include "output/view_answers.h"

#include "html.h"

#include <math.h>
#include <string.h>

/* Units of the drawings are those of CIELAB times SCALE; letters are LETTER high. */
#define SCALE 10.0
#define LETTER 26.0
#define LETTER_WIDTH 0.52 /* of the height, on average */
#define DOT 9.0
#define LABELS_MAX 400
/* Two standard deviations and a bit: a normal error in two dimensions lies within with 95 %. */
#define ELLIPSE_95 2.4477

struct label {
    double x, y, width;
};

/* One map: which of L, a, b lies along x and y, and what it shows. */
struct map {
    const char *title;
    bool chroma; /* x is chroma, y lightness; else a and b */
    double left, top, width, height;
    struct label labels[LABELS_MAX];
    size_t count;
};

static struct point place_of(const struct map *map, struct lab lab)
{
    if (map->chroma)
        return (struct point){SCALE * colour_chroma(lab), SCALE * (100 - lab.L)};
    return (struct point){SCALE * lab.a, -SCALE * lab.b};
}

/* The covariance on the map: 2 x 2, as xx, xy, yy. */
static void covariance_of(const struct map *map, const struct range_ink *ink, double on_map[3])
{
    double chroma = fmax(colour_chroma(ink->lab), 1e-6);
    double x[3] = {0, 1, 0}, y[3] = {0, 0, -1};

    if (map->chroma) {
        x[1] = ink->lab.a / chroma;
        x[2] = ink->lab.b / chroma;
        y[0] = -1;
        y[2] = 0;
    }
    memset(on_map, 0, 3 * sizeof *on_map);
    for (int i = 0; i < 3; i++)
        for (int j = 0; j < 3; j++) {
            double both = ink->covariance_shared[3 * i + j] + ink->covariance_own[3 * i + j];

            on_map[0] += x[i] * x[j] * both;
            on_map[1] += x[i] * y[j] * both;
            on_map[2] += y[i] * y[j] * both;
        }
}

/* Where the truth lies with 95 %. */
static void write_ellipse(FILE *out, const struct map *map, const struct range_ink *ink)
{
    struct point at = place_of(map, ink->lab);
    double of[3], middle, apart, angle;

    covariance_of(map, ink, of);
    middle = (of[0] + of[2]) / 2;
    apart = hypot((of[0] - of[2]) / 2, of[1]);
    angle = atan2(2 * of[1], of[0] - of[2]) / 2;
    fprintf(out,
            "<ellipse cx=\"%.1f\" cy=\"%.1f\" rx=\"%.1f\" ry=\"%.1f\" "
            "transform=\"rotate(%.1f %.1f %.1f)\"/>",
            at.x, at.y, SCALE * ELLIPSE_95 * sqrt(middle + apart),
            SCALE * ELLIPSE_95 * sqrt(fmax(middle - apart, 0)), angle * 180 / acos(-1), at.x, at.y);
}

static bool is_free(const struct map *map, const struct label *wanted)
{
    if (wanted->x < map->left || wanted->x + wanted->width > map->left + map->width)
        return false;
    for (size_t i = 0; i < map->count; i++) {
        const struct label *other = &map->labels[i];

        if (wanted->x < other->x + other->width && other->x < wanted->x + wanted->width &&
            fabs(wanted->y - other->y) < LETTER)
            return false;
    }
    return true;
}

/* A name stands beside its dot where it meets no other; else it is told by the dot alone. */
static void write_name(FILE *out, struct map *map, const struct range_ink *ink)
{
    struct point at = place_of(map, ink->lab);
    double width = LETTER * LETTER_WIDTH * (double)strlen(ink->name);
    const struct label places[] = {{at.x + DOT + 5, at.y, width},
                                   {at.x - DOT - 5 - width, at.y, width},
                                   {at.x - width / 2, at.y - LETTER, width},
                                   {at.x - width / 2, at.y + LETTER, width}};

    for (size_t i = 0; i < sizeof places / sizeof *places && map->count < LABELS_MAX; i++) {
        if (!is_free(map, &places[i]))
            continue;
        map->labels[map->count++] = places[i];
        fprintf(out, "<text x=\"%.1f\" y=\"%.1f\">", places[i].x, places[i].y + LETTER / 3);
        html_text(out, ink->name);
        fputs("</text>", out);
        return;
    }
}

static void write_ink(FILE *out, const struct view_frame *frame, struct map *map,
                      const struct overview_ink *entry)
{
    struct point at = place_of(map, entry->ink->lab);

    fputs("<a href=\"", out);
    html_ink_address(out, frame, entry->ink, 0);
    fputs("\"><title>", out);
    html_text(out, entry->ink->name);
    fputs("</title>", out);
    write_ellipse(out, map, entry->ink);
    fprintf(out, "<circle cx=\"%.1f\" cy=\"%.1f\" r=\"%.1f\" fill=\"", at.x, at.y, DOT);
    html_hexadecimal(out, &entry->on_screen.srgb);
    fputs("\"/>", out);
    write_name(out, map, entry->ink);
    fputs("</a>\n", out);
}

/* Dots take room too, so that no name lies on one. */
static void block_dots(struct map *map, const struct overview *overview)
{
    for (size_t i = 0; i < overview->count && map->count < LABELS_MAX / 2; i++) {
        struct point at = place_of(map, overview->inks[i].ink->lab);

        map->labels[map->count++] = (struct label){at.x - DOT, at.y, 2 * DOT};
    }
}

/* The frame holds all dots and the axes. */
static void frame_map(struct map *map, const struct overview *overview)
{
    double right = map->chroma ? 100 : 200, bottom = map->chroma ? 1000 : 200;

    map->left = map->chroma ? 0 : -200;
    map->top = map->chroma ? 0 : -200;
    for (size_t i = 0; i < overview->count; i++) {
        struct point at = place_of(map, overview->inks[i].ink->lab);

        map->left = fmin(map->left, at.x);
        map->top = fmin(map->top, at.y);
        right = fmax(right, at.x);
        bottom = fmax(bottom, at.y);
    }
    map->left -= 120;
    map->top -= 60;
    map->width = right + 220 - map->left;
    map->height = bottom + 60 - map->top;
}

static void write_axes(FILE *out, const struct map *map)
{
    fprintf(out, "<path class=\"axis\" d=\"M%.0f %.0fh%.0fM0 %.0fv%.0f\"/>\n", map->left,
            map->chroma ? 1000.0 : 0.0, map->width, map->top, map->height);
    fprintf(out, "<text class=\"quiet\" x=\"%.0f\" y=\"%.0f\">%s</text>\n", map->left + 8,
            map->top + LETTER,
            map->chroma ? "lighter above, more colourful to the right"
                        : "redder to the right, yellower above, grey where the "
                          "lines cross");
}

static void write_map(FILE *out, const struct view_frame *frame, struct map *map,
                      const struct overview *overview)
{
    frame_map(map, overview);
    block_dots(map, overview);
    fprintf(out,
            "<h2>%s</h2>\n<div class=\"map\"><svg viewBox=\"%.0f %.0f %.0f %.0f\" role=\"group\" "
            "aria-label=\"%s\">\n",
            map->title, map->left, map->top, map->width, map->height, map->title);
    write_axes(out, map);
    for (size_t i = 0; i < overview->count; i++)
        write_ink(out, frame, map, &overview->inks[i]);
    fputs("</svg></div>\n", out);
}

void view_maps(FILE *out, const struct view_frame *frame, const struct overview *overview)
{
    struct map above = {.title = "Hue and colourfulness (a*, b*)"};
    struct map side = {.title = "Lightness and colourfulness (L*, C*)", .chroma = true};

    if (!overview->count) {
        fputs("<p>No ink has a colour yet.</p>\n", out);
        return;
    }
    write_map(out, frame, &above, overview);
    write_map(out, frame, &side, overview);
}
