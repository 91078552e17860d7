#include "output/drying_plot.h"

#include "canvas.h"
#include "values/angle.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#define WIDTH_PX 760
#define LEFT_PX 76.0
#define RIGHT_PX 730.0
#define STRIP_TOP_PX 74.0
#define STRIP_HEIGHT_PX 34.0
#define PANEL_TOP_PX 142.0
#define PANEL_HEIGHT_PX 112.0
#define PANEL_STEP_PX 148.0
#define PANELS 3
#define HEIGHT_PX ((int)(PANEL_TOP_PX + PANELS * PANEL_STEP_PX + 28))
#define CURVE_STEPS 160
#define TICK_ROOM_PX 54.0
#define DEVIATIONS_95 1.96
#define HUE_CHROMA_MIN 2.0 /* below, an angle means nothing */

static const struct paint ground = {1, 1, 1, 1};
static const struct paint ink_paint = {0.13, 0.13, 0.13, 1};
static const struct paint faint = {0.42, 0.42, 0.42, 1};
static const struct paint grid = {0.88, 0.88, 0.88, 1};
static const struct paint curve_paint = {0.1, 0.36, 0.62, 1};
static const struct paint settling = {0.1, 0.36, 0.62, 0.09};

/* One of the three things drawn over time. */
enum axis { AXIS_LIGHTNESS, AXIS_CHROMA, AXIS_HUE };

static const char *const axis_words[] = {"lightness L*", "chroma C*", "hue h, degrees"};

struct plotting {
    const struct drying_plot *plot;
    struct canvas *canvas;
    double knee_s; /* times pass from a linear scale to a logarithmic one about here */
    double last_s;
    double hue_start; /* hues are shown within 180 degrees of this one */
};

/* --- times ---------------------------------------------------------------------------------- */

void drying_format_duration(double seconds, char text[DURATION_TEXT_SIZE])
{
    static const struct {
        double below_s, unit_s;
        const char *one, *many;
    } units[] = {{60, 1, "s", "s"},
                 {3600, 60, "min", "min"},
                 {172800, 3600, "h", "h"},
                 {INFINITY, 86400, "day", "days"}};
    int i = 0;
    double number;

    while (seconds >= units[i].below_s)
        i++;
    number = seconds / units[i].unit_s;
    number = number < 9.95 && i >= 2 ? round(number * 10) / 10 : round(number);
    snprintf(text, DURATION_TEXT_SIZE, "%.*f %s", number < 9.95 && floor(number) < number ? 1 : 0,
             number, number > 0.95 && number < 1.05 ? units[i].one : units[i].many);
}

static double x_of(const struct plotting *plotting, double t_s)
{
    double part = log1p(fmax(t_s, 0) / plotting->knee_s) /
                  log1p(fmax(plotting->last_s, 1) / plotting->knee_s);

    return LEFT_PX + part * (RIGHT_PX - LEFT_PX);
}

static double t_of_reading(const struct plotting *plotting, size_t i)
{
    return (double)(plotting->plot->readings[i].taken_s - plotting->plot->drying->origin_s);
}

static void find_times(struct plotting *plotting)
{
    size_t count = plotting->plot->count;

    plotting->last_s = fmax(t_of_reading(plotting, count - 1), 1);
    plotting->knee_s = plotting->last_s;
    for (size_t i = count; i-- > 0;)
        if (t_of_reading(plotting, i) > 0)
            plotting->knee_s = t_of_reading(plotting, i);
    plotting->knee_s = fmax(plotting->knee_s, plotting->last_s / 1000);
}

static void write_text(struct plotting *plotting, struct lettering lettering, struct point at,
                       const char *text)
{
    canvas_text(plotting->canvas, &lettering, at, WIDTH_PX - 40, text);
}

static void draw_time_axis(struct plotting *plotting)
{
    static const double ticks_s[] = {0,      60,      120,     300,     600,      1200,    1800,
                                     3600,   7200,    14400,   28800,   86400,    172800,  345600,
                                     604800, 1209600, 2592000, 7776000, 15552000, 31536000};
    double bottom = PANEL_TOP_PX + (PANELS - 1) * PANEL_STEP_PX + PANEL_HEIGHT_PX;
    double free_from = 0;

    for (size_t i = 0; i < sizeof ticks_s / sizeof *ticks_s; i++) {
        double x = x_of(plotting, ticks_s[i]);
        char text[DURATION_TEXT_SIZE];

        if (ticks_s[i] > plotting->last_s || x < free_from)
            continue;
        drying_format_duration(ticks_s[i], text);
        for (int panel = 0; panel < PANELS; panel++) {
            double top = PANEL_TOP_PX + panel * PANEL_STEP_PX;

            canvas_line(plotting->canvas, (struct point){x, top},
                        (struct point){x, top + PANEL_HEIGHT_PX}, 1, grid);
        }
        write_text(plotting, (struct lettering){11, false, LETTERING_CENTRE, faint},
                   (struct point){x, bottom + 18}, ticks_s[i] > 0 ? text : "0");
        free_from = x + TICK_ROOM_PX;
    }
    write_text(plotting, (struct lettering){12, false, LETTERING_RIGHT, faint},
               (struct point){RIGHT_PX, bottom + 38},
               plotting->plot->drying->inked_known ? "time since the swatch was made"
                                                   : "time since the first reading");
}

/* Where it becomes dry: a band over the interval, as far as the readings reach, and a line. */
static void draw_settling(struct plotting *plotting)
{
    const struct drying_figure *settled = &plotting->plot->drying->settled_s;
    double left = x_of(plotting, settled->low);
    double right = x_of(plotting, fmin(settled->high, plotting->last_s));

    if (!(settled->high > 0))
        return;
    for (int panel = 0; panel < PANELS; panel++) {
        double top = PANEL_TOP_PX + panel * PANEL_STEP_PX, x = x_of(plotting, settled->value);

        canvas_fill_box(plotting->canvas,
                        (struct box){left, top, fmax(right - left, 0), PANEL_HEIGHT_PX}, settling);
        if (settled->value > 0 && settled->value <= plotting->last_s)
            canvas_line(plotting->canvas, (struct point){x, top},
                        (struct point){x, top + PANEL_HEIGHT_PX}, 1.5, curve_paint);
    }
}

static void draw_legend(struct plotting *plotting)
{
    const struct drying *drying = plotting->plot->drying;
    double y = PANEL_TOP_PX + (PANELS - 1) * PANEL_STEP_PX + PANEL_HEIGHT_PX + 38;

    write_text(plotting, (struct lettering){11, false, LETTERING_LEFT, faint},
               (struct point){20, y},
               !drying->fitted ? "bars: 95 %"
               : !(drying->settled_s.high > 0)
                   ? "bars: 95 %   curve: the fit"
                   : "bars: 95 %   curve: the fit   line and band: dry from then on, "
                     "95 %");
}

/* --- values --------------------------------------------------------------------------------- */

static double value_of(const struct plotting *plotting, struct lab lab, enum axis axis)
{
    if (axis == AXIS_LIGHTNESS)
        return lab.L;
    if (axis == AXIS_CHROMA)
        return colour_chroma(lab);
    return plotting->hue_start + remainder(colour_hue_degrees(lab) - plotting->hue_start, 360);
}

/* Half of a reading's 95 % interval along one axis. */
static double half_of(const struct observation *reading, enum axis axis)
{
    double covariance[9], chroma = colour_chroma(reading->lab);
    double along_a, along_b, variance;

    for (int i = 0; i < 9; i++)
        covariance[i] = reading->covariance_own[i] + reading->covariance_shared[i];
    if (axis == AXIS_LIGHTNESS || !(chroma > 0))
        return DEVIATIONS_95 * sqrt(covariance[0]);
    along_a = (axis == AXIS_CHROMA ? reading->lab.a : -reading->lab.b) / chroma;
    along_b = (axis == AXIS_CHROMA ? reading->lab.b : reading->lab.a) / chroma;
    variance = along_a * along_a * covariance[4] + 2 * along_a * along_b * covariance[5] +
               along_b * along_b * covariance[8];
    return DEVIATIONS_95 * sqrt(variance) * (axis == AXIS_HUE ? ANGLE_DEGREES / chroma : 1);
}

struct scale {
    double low, high;
};

static struct scale scale_of(const struct plotting *plotting, enum axis axis)
{
    struct scale scale = {INFINITY, -INFINITY};
    double room;

    for (size_t i = 0; i < plotting->plot->count; i++) {
        const struct observation *reading = &plotting->plot->readings[i];
        double value = value_of(plotting, reading->lab, axis), half = half_of(reading, axis);

        scale.low = fmin(scale.low, value - half);
        scale.high = fmax(scale.high, value + half);
    }
    room = fmax(0.08 * (scale.high - scale.low), 1 - (scale.high - scale.low) / 2);
    scale.low -= room;
    scale.high += room;
    return scale;
}

static double y_of(const struct scale *scale, double top, double value)
{
    return top + PANEL_HEIGHT_PX * (scale->high - value) / (scale->high - scale->low);
}

/* --- drawing -------------------------------------------------------------------------------- */

static double tick_step(double span)
{
    static const double parts[] = {1, 2, 5, 10};
    double decade = pow(10, floor(log10(span / 4)));

    for (int i = 0; i < 4; i++)
        if (span / (parts[i] * decade) <= 5)
            return parts[i] * decade;
    return 10 * decade;
}

static void draw_value_axis(struct plotting *plotting, const struct scale *scale, double top,
                            const char *words)
{
    double step = tick_step(scale->high - scale->low);

    for (double value = ceil(scale->low / step) * step; value <= scale->high; value += step) {
        double y = y_of(scale, top, value);
        char text[32];

        canvas_line(plotting->canvas, (struct point){LEFT_PX, y}, (struct point){RIGHT_PX, y}, 1,
                    grid);
        snprintf(text, sizeof text, "%.*f", step < 1 ? 1 : 0, value);
        write_text(plotting, (struct lettering){11, false, LETTERING_RIGHT, faint},
                   (struct point){LEFT_PX - 8, y + 4}, text);
    }
    write_text(plotting, (struct lettering){12, true, LETTERING_LEFT, ink_paint},
               (struct point){LEFT_PX, top - 7}, words);
}

static void draw_curve(struct plotting *plotting, const struct scale *scale, double top,
                       enum axis axis)
{
    const struct drying *drying = plotting->plot->drying;
    struct point curve[CURVE_STEPS + 1];
    int count = 0;

    for (int i = 0; drying->fitted && i <= CURVE_STEPS; i++) {
        double part = (double)i / CURVE_STEPS;
        double t_s = plotting->knee_s * expm1(part * log1p(plotting->last_s / plotting->knee_s));
        double value = value_of(plotting, drying_colour(drying, t_s), axis);

        if (value >= scale->low && value <= scale->high)
            curve[count++] = (struct point){x_of(plotting, t_s), y_of(scale, top, value)};
    }
    canvas_lines(plotting->canvas, curve, count, 2, curve_paint);
}

static struct paint paint_of(struct lab lab)
{
    struct rgb srgb;

    colour_srgb_from_lab(&lab, 1, &srgb);
    return (struct paint){srgb.channel[0], srgb.channel[1], srgb.channel[2], 1};
}

static void draw_readings(struct plotting *plotting, const struct scale *scale, double top,
                          enum axis axis)
{
    for (size_t i = 0; i < plotting->plot->count; i++) {
        const struct observation *reading = &plotting->plot->readings[i];
        double value = value_of(plotting, reading->lab, axis), half = half_of(reading, axis);
        double x = x_of(plotting, t_of_reading(plotting, i));
        struct point centre = {x, y_of(scale, top, value)};

        canvas_line(plotting->canvas, (struct point){x, y_of(scale, top, value - half)},
                    (struct point){x, y_of(scale, top, value + half)}, 1.5, ink_paint);
        canvas_dot(plotting->canvas, centre, 5.5, ink_paint);
        canvas_dot(plotting->canvas, centre, 4.2, paint_of(reading->lab));
    }
}

/* Whether some reading is so grey that its hue means nothing. */
static bool is_grey(const struct drying_plot *plot)
{
    for (size_t i = 0; i < plot->count; i++)
        if (colour_chroma(plot->readings[i].lab) < HUE_CHROMA_MIN)
            return true;
    return false;
}

static void draw_panel(struct plotting *plotting, enum axis axis)
{
    double top = PANEL_TOP_PX + (int)axis * PANEL_STEP_PX;
    struct scale scale = scale_of(plotting, axis);

    if (axis == AXIS_HUE && is_grey(plotting->plot)) {
        write_text(plotting, (struct lettering){12, false, LETTERING_LEFT, faint},
                   (struct point){LEFT_PX, top - 7}, "too grey for a hue");
        return;
    }
    draw_value_axis(plotting, &scale, top, axis_words[axis]);
    draw_curve(plotting, &scale, top, axis);
    draw_readings(plotting, &scale, top, axis);
}

/* The colours themselves, side by side in the order they were read. */
static void draw_strip(struct plotting *plotting)
{
    double width = (RIGHT_PX - LEFT_PX) / (double)plotting->plot->count;

    for (size_t i = 0; i < plotting->plot->count; i++)
        canvas_fill_box(
            plotting->canvas,
            (struct box){LEFT_PX + width * (double)i, STRIP_TOP_PX, width + 0.5, STRIP_HEIGHT_PX},
            paint_of(plotting->plot->readings[i].lab));
    write_text(plotting, (struct lettering){11, false, LETTERING_RIGHT, faint},
               (struct point){LEFT_PX - 8, STRIP_TOP_PX + 14}, "first");
    write_text(plotting, (struct lettering){11, false, LETTERING_RIGHT, faint},
               (struct point){LEFT_PX - 8, STRIP_TOP_PX + 28}, "to last");
}

static void draw_all(struct plotting *plotting)
{
    const struct drying_plot *plot = plotting->plot;

    write_text(plotting, (struct lettering){19, true, LETTERING_LEFT, ink_paint},
               (struct point){20, 32}, plot->title);
    write_text(plotting, (struct lettering){12, false, LETTERING_LEFT, faint},
               (struct point){20, 54}, plot->subtitle);
    draw_strip(plotting);
    draw_time_axis(plotting);
    draw_settling(plotting);
    draw_legend(plotting);
    for (int axis = 0; axis < PANELS; axis++)
        draw_panel(plotting, (enum axis)axis);
}

enum status drying_plot_write(const char *path, const struct drying_plot *plot, struct error *error)
{
    struct plotting plotting = {.plot = plot};
    enum status status = canvas_create_shapes(WIDTH_PX, HEIGHT_PX, ground, &plotting.canvas, error);

    if (status)
        return status;
    plotting.hue_start = colour_hue_degrees(plot->readings[plot->count - 1].lab);
    find_times(&plotting);
    draw_all(&plotting);
    status = canvas_write_svg(plotting.canvas, path, error);
    canvas_release(plotting.canvas);
    return status;
}
