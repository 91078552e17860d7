#include "stage.h"

#include "basics.h"

#include <math.h>
#include <stdlib.h>

/* The part of the photo that a thing and its shadow can touch. */
struct window {
    int left, right, top, bottom;
};

struct looking {
    const struct stage *stage;
    struct window prop[PROPS_MAX], card[CARDS_MAX], sheet[SHEETS_MAX];
};

static struct window plate_window(const struct stage *stage, const struct plate *plate,
                                  double lift_mm)
{
    double reach = 22.0 + lift_mm;
    struct point low = {1e9, 1e9}, high = {-1e9, -1e9};

    for (int i = 0; i < 8; i++) {
        struct point local = {(i & 1 ? 1.0 : -1.0) * (plate->half_width + reach),
                              (i & 2 ? 1.0 : -1.0) * (plate->half_height + reach)};
        struct point seen = view_project(&stage->view, plate_desk(plate, local),
                                         i & 4 ? plate->height + lift_mm : 0.0);

        low = (struct point){fmin(low.x, seen.x), fmin(low.y, seen.y)};
        high = (struct point){fmax(high.x, seen.x), fmax(high.y, seen.y)};
    }
    return (struct window){(int)clamp(low.x, -1e6, 1e6), (int)clamp(high.x, -1e6, 1e6),
                           (int)clamp(low.y, -1e6, 1e6), (int)clamp(high.y, -1e6, 1e6)};
}

static int within(const struct window *window, int x, int y)
{
    return x >= window->left && x <= window->right && y >= window->top && y <= window->bottom;
}

static struct response surface_at(const struct looking *looking, const struct sight *sight, int x,
                                  int y)
{
    const struct stage *stage = looking->stage;
    struct response colour = desk_colour(&stage->desk, sight->desk, sight->footprint_mm);

    for (int i = 0; i < stage->props; i++)
        if (within(&looking->prop[i], x, y))
            prop_paint(&stage->prop[i], sight, &colour);
    for (int i = 0; i < stage->sheets; i++)
        if (within(&looking->sheet[i], x, y))
            sheet_paint(&stage->sheet[i], sight, &colour);
    for (int i = 0; i < stage->cards; i++)
        if (within(&looking->card[i], x, y))
            card_paint(&stage->card[i], sight, &colour);
    return colour;
}

static void look_at_pixel(const struct looking *looking, int x, int y, float raw[3])
{
    const struct stage *stage = looking->stage;
    struct sight sight = {.view = &stage->view};
    struct response colour;
    double amount[LIGHTS], glare, radius, lens;

    view_ray(&stage->view, x + 0.5, y + 0.5, sight.direction);
    sight.desk = view_meet(&stage->view, sight.direction, 0.0);
    sight.footprint_mm = stage->view.eye_height / sight.direction[2] / stage->view.focal_px;
    colour = surface_at(looking, &sight, x, y);
    light_at(&stage->light, sight.desk, amount);
    glare = light_glare_at(&stage->light, sight.desk);
    radius = view_radius(&stage->view, x + 0.5, y + 0.5);
    lens = stage->plan.exposure * exp2(stage->plan.stops) *
           (1.0 - stage->plan.vignetting * radius * radius);
    for (int k = 0; k < 3; k++)
        raw[k] = (float)(lens * (amount[0] * (colour.rgb[0][k] + glare * stage->mirror.rgb[0][k]) +
                                 amount[1] * colour.rgb[1][k]));
}

/* Light scattered in the lens: a little of the whole picture everywhere. */
static void add_flare(struct raster *raw, double flare)
{
    size_t count = raster_count(raw);

    for (int k = 0; k < 3; k++) {
        double sum = 0.0;
        float veil;

        for (size_t i = 0; i < count; i++)
            sum += raw->plane[k][i];
        veil = (float)(flare * sum / (double)count);
        for (size_t i = 0; i < count; i++)
            raw->plane[k][i] += veil;
    }
}

void stage_look(const struct stage *stage, struct raster *raw)
{
    struct looking looking = {.stage = stage};

    for (int i = 0; i < stage->props; i++)
        looking.prop[i] = plate_window(stage, &stage->prop[i].plate, 0.0);
    for (int i = 0; i < stage->cards; i++)
        looking.card[i] = plate_window(stage, &stage->card[i].plate, 0.0);
    for (int i = 0; i < stage->sheets; i++)
        looking.sheet[i] = plate_window(stage, &stage->sheet[i].plate, stage->plan.curl_mm);
    for (int y = 0; y < raw->height_px; y++)
        for (int x = 0; x < raw->width_px; x++) {
            size_t place = (size_t)y * (size_t)raw->width_px + (size_t)x;
            float seen[3];

            look_at_pixel(&looking, x, y, seen);
            for (int k = 0; k < 3; k++)
                raw->plane[k][place] = seen[k];
        }
    add_flare(raw, stage->plan.flare);
}
