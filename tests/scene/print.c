#include "print.h"

#include "basics.h"
#include "noise.h"

#include <ctype.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

/* Letters as strokes on a grid 0 to 4 across and 0 to 6 down: digit pairs, a space lifts the pen.
 */
static const char *const letters[26] = {
    "062046 1434",
    "06003041423303 3344453606",
    "4130100105163645",
    "06003041453606",
    "40000646 0333",
    "400006 0333",
    "41301001051636454323",
    "0006 4046 0343",
    "1030 2026 1636",
    "4045361605",
    "0006 400346",
    "000646",
    "0600234046",
    "06004640",
    "103041453616050110",
    "06003041423303",
    "103041453616050110 2446",
    "06003041423303 2346",
    "413010010213334445361605",
    "0040 2026",
    "000516364540",
    "002640",
    "0016233640",
    "0046 4006",
    "002340 2326",
    "00400646",
};

static const char *const digits[10] = {
    "103041453616050110",          "112026 1636", "01103041420646",
    "0110304142334445361605 1333", "36300444",    "4000033344453606",
    "4130100105163645443303",      "004016",      "103041423313020110 1304051636454433",
    "4313020110304145361605",
};

void print_start(struct print *print, double width_mm, double height_mm, double px_per_mm)
{
    print->px_per_mm = px_per_mm;
    print->width_px = (int)ceil(width_mm * px_per_mm) + 2;
    print->height_px = (int)ceil(height_mm * px_per_mm) + 2;
    for (int i = 0; i < TOOLS; i++)
        print->covered[i] = allocate((size_t)print->width_px, (size_t)print->height_px);
}

void print_release(struct print *print)
{
    for (int i = 0; i < TOOLS; i++)
        free(print->covered[i]);
    memset(print, 0, sizeof *print);
}

static double distance_to_segment(double x, double y, struct point from, struct point to)
{
    double across = to.x - from.x, down = to.y - from.y;
    double length = across * across + down * down;
    double part = length > 0.0
                      ? clamp(((x - from.x) * across + (y - from.y) * down) / length, 0.0, 1.0)
                      : 0.0;

    return hypot(x - from.x - part * across, y - from.y - part * down);
}

static int whole_within(double value, int limit)
{
    return (int)clamp(value, 0.0, limit);
}

void print_line(struct print *print, struct point from, struct point to,
                const struct stroke *stroke)
{
    double scale = print->px_per_mm, reach = stroke->width_mm * scale / 2.0 + 1.0;
    struct point a = {from.x * scale, from.y * scale}, b = {to.x * scale, to.y * scale};
    int left = whole_within(fmin(a.x, b.x) - reach, print->width_px);
    int right = whole_within(fmax(a.x, b.x) + reach + 1.0, print->width_px);
    int top = whole_within(fmin(a.y, b.y) - reach, print->height_px);
    int bottom = whole_within(fmax(a.y, b.y) + reach + 1.0, print->height_px);

    for (int y = top; y < bottom; y++)
        for (int x = left; x < right; x++) {
            double distance = distance_to_segment(x + 0.5, y + 0.5, a, b) - reach + 1.0;
            double value = 255.0 * stroke->strength * clamp(0.5 - distance, 0.0, 1.0);
            unsigned char *place =
                &print->covered[stroke->tool][(size_t)y * (size_t)print->width_px + (size_t)x];

            if (value > *place)
                *place = (unsigned char)value;
        }
}

void print_sketch(struct print *print, struct point from, struct point to,
                  const struct stroke *stroke, unsigned seed)
{
    double length = hypot(to.x - from.x, to.y - from.y);
    int pieces = 1 + (int)(length / 2.0);
    struct point last = from;

    for (int i = 1; i <= pieces; i++) {
        double part = (double)i / pieces, along = part * length;
        struct stroke pressed = *stroke;
        struct point next = {
            from.x + part * (to.x - from.x) + 0.25 * noise_smooth(along / 9.0, 0.5, seed),
            from.y + part * (to.y - from.y) + 0.25 * noise_smooth(along / 9.0, 7.5, seed)};

        pressed.strength *= 0.85 + 0.15 * noise_smooth(along / 4.0, 3.5, seed);
        print_line(print, last, next, &pressed);
        last = next;
    }
}

static const char *glyph(char letter)
{
    int upper = toupper((unsigned char)letter);

    if (upper >= 'A' && upper <= 'Z')
        return letters[upper - 'A'];
    if (upper >= '0' && upper <= '9')
        return digits[upper - '0'];
    return "";
}

static void print_glyph(struct print *print, struct point left, double unit_mm, const char *strokes,
                        const struct stroke *stroke)
{
    struct point last = left;
    int down = 0;

    while (*strokes) {
        if (*strokes == ' ') {
            down = 0;
            strokes++;
            continue;
        }
        struct point next = {left.x + unit_mm * (strokes[0] - '0'),
                             left.y + unit_mm * (strokes[1] - '0')};

        if (down)
            print_line(print, last, next, stroke);
        last = next;
        down = 1;
        strokes += 2;
    }
}

void print_text(struct print *print, struct point left, double width_mm, double height_mm,
                const char *text, const struct stroke *stroke)
{
    double letters_wide = 5.6 * (double)strlen(text) - 1.6;
    double unit_mm = fmin(height_mm / 6.0, width_mm / letters_wide);
    struct point place = {left.x + (width_mm - letters_wide * unit_mm) / 2.0, left.y};
    struct stroke pen = *stroke;

    pen.width_mm = fmin(pen.width_mm, 0.9 * unit_mm);
    for (; *text; text++) {
        print_glyph(print, place, unit_mm, glyph(*text), &pen);
        place.x += 5.6 * unit_mm;
    }
}

void print_at(const struct print *print, struct point place, double covered[TOOLS])
{
    double x = clamp(place.x * print->px_per_mm - 0.5, 0.0, print->width_px - 1.001);
    double y = clamp(place.y * print->px_per_mm - 0.5, 0.0, print->height_px - 1.001);
    size_t i = (size_t)x, j = (size_t)y, stride = (size_t)print->width_px;
    double u = x - (double)i, v = y - (double)j;

    for (int tool = 0; tool < TOOLS; tool++) {
        const unsigned char *row = print->covered[tool] + j * stride + i;

        covered[tool] = (row[0] * (1.0 - u) * (1.0 - v) + row[1] * u * (1.0 - v) +
                         row[stride] * (1.0 - u) * v + row[stride + 1] * u * v) /
                        255.0;
    }
}
