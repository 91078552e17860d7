#include "sheet.h"

#include "basics.h"
#include "noise.h"

#include <math.h>
#include <stdlib.h>

#include <gsl/gsl_math.h>

/* A pen's, by our own judgement: half of the paper shows. */
#define HATCH_PITCH_MM 2.4
#define HATCH_NIB_MM 1.2

static double line_offset(const struct grid_line *line, double part)
{
    return line->start_mm + part * (line->end_mm - line->start_mm);
}

struct point sheet_cell_vertex(const struct sheet *sheet, int row, int column, int corner)
{
    int right = corner == 1 || corner == 2, lower = corner >= 2;
    struct point place = {sheet->column_x[column] + right * sheet->cell_width_mm,
                          sheet->row_y[row] + lower * sheet->cell_height_mm};

    place.x +=
        line_offset(&sheet->down[column + right], (double)(row + lower) / (double)sheet->rows);
    place.y +=
        line_offset(&sheet->across[row + lower], (double)(column + right) / (double)sheet->columns);
    return place;
}

struct point sheet_cell_corner(const struct sheet *sheet, int row, int column)
{
    return sheet_cell_vertex(sheet, row, column, 0);
}

struct point sheet_cell_middle(const struct sheet *sheet, int row, int column)
{
    struct point middle = {0.0, 0.0};

    if (!sheet->untrue) {
        middle = sheet_cell_corner(sheet, row, column);
        return (struct point){middle.x + sheet->cell_width_mm / 2.0,
                              middle.y + sheet->cell_height_mm / 2.0};
    }
    for (int corner = 0; corner < 4; corner++) {
        struct point vertex = sheet_cell_vertex(sheet, row, column, corner);

        middle = (struct point){middle.x + vertex.x / 4.0, middle.y + vertex.y / 4.0};
    }
    return middle;
}

static double disc_radius(const struct cell *cell)
{
    return fmin(cell->half_width, cell->half_height);
}

static struct point stamp_place(const struct cell *cell, double u, double v)
{
    return (struct point){cell->stamp_centre.x + cell->cosine * u - cell->sine * v,
                          cell->stamp_centre.y + cell->sine * u + cell->cosine * v};
}

int sheet_stamp_outline(const struct sheet *sheet, int number, struct point points[])
{
    const struct cell *cell = &sheet->cells[number];
    double radius = disc_radius(cell);

    if (sheet->shape != SHAPE_DISC) {
        points[0] = stamp_place(cell, -cell->half_width, -cell->half_height);
        points[1] = stamp_place(cell, cell->half_width, -cell->half_height);
        points[2] = stamp_place(cell, cell->half_width, cell->half_height);
        points[3] = stamp_place(cell, -cell->half_width, cell->half_height);
        return STAMP_CORNERS;
    }
    for (int i = 0; i < STAMP_DISC_POINTS; i++) {
        double way = 2.0 * M_PI * i / STAMP_DISC_POINTS;

        points[i] = stamp_place(cell, radius * cos(way), radius * sin(way));
    }
    return STAMP_DISC_POINTS;
}

/* Length of the parabola z = bend t^2 from 0 to t. */
static double arc_length(double bend, double t)
{
    double slope = 2.0 * bend * t;

    if (slope < 1e-6)
        return t;
    return t / 2.0 * sqrt(1.0 + slope * slope) + asinh(slope) / (4.0 * bend);
}

static double arc_inverse(double bend, double length)
{
    double t = length;

    for (int round = 0; round < 12; round++)
        t -= (arc_length(bend, t) - length) / sqrt(1.0 + square(2.0 * bend * t));
    return t;
}

/* How far past the start of the lifting part a place is; `side` -1 where the other side lifts. */
static double way_up(const struct sheet *sheet, struct point local, double *side)
{
    double along = local.x * sheet->lift.x + local.y * sheet->lift.y;

    *side = sheet->lift_both && along < 0.0 ? -1.0 : 1.0;
    return *side * along - sheet->lift_start_mm;
}

struct point sheet_in_space(const struct sheet *sheet, struct point place, double *height_mm)
{
    struct point local = {place.x - sheet->width_mm / 2.0, place.y - sheet->height_mm / 2.0};
    double side, way = way_up(sheet, local, &side), t = 0.0;

    if (sheet->bend_per_mm > 0.0 && way > 0.0) {
        t = arc_inverse(sheet->bend_per_mm, way);
        local.x += side * (t - way) * sheet->lift.x;
        local.y += side * (t - way) * sheet->lift.y;
    }
    *height_mm = sheet->bend_per_mm * t * t;
    return plate_desk(&sheet->plate, local);
}

/* Where a line of sight meets the sheet, and how steep the sheet is there: less than 0 where the
 * other side lifts. */
static struct point meet(const struct sheet *sheet, const struct sight *sight, double *slope)
{
    struct point local = plate_local(&sheet->plate, sight->desk);
    double height = 0.0, t = 0.0, side = 1.0, way;

    for (int round = 0; round < 8 && sheet->bend_per_mm > 0.0; round++) {
        t = fmax(0.0, way_up(sheet, local, &side));
        if (t <= 0.0 && height <= 0.0)
            break;
        height = sheet->bend_per_mm * t * t;
        local = plate_local(&sheet->plate, view_meet(sight->view, sight->direction, height));
    }
    *slope = side * 2.0 * sheet->bend_per_mm * t;
    way = t > 0.0 ? arc_length(sheet->bend_per_mm, t) - t : 0.0;
    local.x += side * way * sheet->lift.x;
    local.y += side * way * sheet->lift.y;
    return local;
}

/* How far a place is past the rim of a stamp, u and v from its middle; negative inside. */
static double past_rim(const struct sheet *sheet, const struct cell *cell, double u, double v)
{
    if (sheet->shape == SHAPE_DISC)
        return hypot(u, v) - disc_radius(cell);
    return fmax(fabs(u) - cell->half_width, fabs(v) - cell->half_height);
}

/* A brush leaves streaks along its way, and less ink towards the end of it. */
static double brushed(const struct cell *cell, double u, double v)
{
    double end = u / cell->half_width;
    double streak = noise_rough(v / 0.7, u / 24.0, cell->seed + 37u);

    return 1.0 + cell->mottle * (1.6 * streak - 1.2 * end);
}

/* A pen leaves strokes aslant, paper between them, and more ink where it turns. */
static double hatched(const struct cell *cell, double u, double v)
{
    double across = (u + 0.45 * v) / HATCH_PITCH_MM;
    double sway = 0.6 * noise_smooth(v / 3.0, 0.3 * across, cell->seed + 41u);
    double stroke = fabs(fmod(fabs(across + sway) + 0.5, 1.0) - 0.5) * HATCH_PITCH_MM;

    return 1.0 - soft_step(HATCH_NIB_MM / 2.0 - 0.15, HATCH_NIB_MM / 2.0 + 0.15, stroke);
}

/* The density of ink at a place in or near a cell. */
static double density_at(const struct sheet *sheet, const struct cell *cell, struct point place,
                         double blur_mm)
{
    double x = place.x - cell->stamp_centre.x, y = place.y - cell->stamp_centre.y;
    double u = cell->cosine * x + cell->sine * y, v = cell->cosine * y - cell->sine * x;
    double rim = past_rim(sheet, cell, u, v);
    double soft = fmax(sheet->softness_mm, blur_mm);
    double cloud, grain, laid = cell->density;

    if (rim > soft + sheet->irregularity_mm)
        return 0.0;
    if (rim > -soft - sheet->irregularity_mm)
        rim += sheet->irregularity_mm * noise_rough(place.x / 1.7, place.y / 1.7, cell->seed);
    cloud = noise_rough(place.x / 4.5, place.y / 4.5, cell->seed + 11u);
    grain = noise_smooth(place.x / 0.55, place.y / 0.55, cell->seed + 23u);
    if (sheet->shape == SHAPE_BRUSHED)
        laid *= brushed(cell, u, v);
    if (cell->hatched)
        laid *= hatched(cell, u, v);
    return laid * (1.0 - soft_step(-soft, soft, rim)) *
           (1.0 + cell->mottle * (cloud + 0.8 * grain) +
            0.5 * cell->mottle * soft_step(-2.0, -0.3, rim));
}

/* The first of the slots that ends past a place, or -1 if it lies before all or past all. */
static int slot_at(const double starts[], int count, double size, double rim, double place)
{
    if (place < starts[0] - rim)
        return -1;
    for (int i = 0; i < count; i++)
        if (place < starts[i] + size + rim)
            return i;
    return -1;
}

/* Of a cell and those around it, the one whose stamp is nearest: lines out of true part them. */
static int nearest_stamp(const struct sheet *sheet, int row, int column, struct point place)
{
    int nearest = -1;
    double least = 1e9;

    for (int i = 0; i < 9; i++) {
        int r = row + i / 3 - 1, c = column + i % 3 - 1;
        const struct cell *cell;
        double past;

        if (r < 0 || c < 0 || r >= sheet->rows || c >= sheet->columns)
            continue;
        cell = &sheet->cells[r * sheet->columns + c];
        past =
            past_rim(sheet, cell, place.x - cell->stamp_centre.x, place.y - cell->stamp_centre.y);
        if (past < least) {
            least = past;
            nearest = r * sheet->columns + c;
        }
    }
    return nearest;
}

/* The cell at or nearest to a place, or -1 if the place is well off the chart. */
static int cell_at(const struct sheet *sheet, struct point place)
{
    double rim_x = (sheet->pitch_x_mm - sheet->cell_width_mm) / 2.0;
    double rim_y = (sheet->pitch_y_mm - sheet->cell_height_mm) / 2.0;
    int column = slot_at(sheet->column_x, sheet->columns, sheet->cell_width_mm, rim_x, place.x);
    int row = slot_at(sheet->row_y, sheet->rows, sheet->cell_height_mm, rim_y, place.y);

    if (row < 0 || column < 0)
        return -1;
    return sheet->untrue ? nearest_stamp(sheet, row, column, place) : row * sheet->columns + column;
}

static void apply_ink(const struct sheet *sheet, int cell, double density, struct response *colour)
{
    double place = clamp(density / DENSITY_MAX, 0.0, 0.9999) * DENSITY_STEPS;
    int low = (int)place;
    const struct response *steps = sheet->ink_response + cell * (DENSITY_STEPS + 1) + low;

    *colour = steps[0];
    colour_over(colour, &steps[1], place - low);
}

static struct response face_at(const struct sheet *sheet, struct point place, double footprint_mm)
{
    struct response colour = sheet->paper_response;
    double covered[TOOLS];
    int cell = cell_at(sheet, place);

    if (cell >= 0 && sheet->cells[cell].ink != NO_INK) {
        double density = density_at(sheet, &sheet->cells[cell], place, 0.6 * footprint_mm);

        if (density > 0.0)
            apply_ink(sheet, cell, density, &colour);
    }
    print_at(&sheet->print, place, covered);
    for (int tool = 0; tool < TOOLS; tool++)
        if (covered[tool] > 0.0)
            colour_over(&colour, &sheet->tool_response[tool], covered[tool]);
    colour_scale(&colour, 1.0 + 0.006 * noise_smooth(place.x / 0.4, place.y / 0.4, 3u));
    return colour;
}

void sheet_paint(const struct sheet *sheet, const struct sight *sight, struct response *colour)
{
    double slope;
    struct point local = meet(sheet, sight, &slope);
    double inside = coverage(plate_distance(&sheet->plate, local, 0.0), sight->footprint_mm);
    struct response face;

    plate_cast_shadow(&sheet->plate, sight, sheet->bend_per_mm > 0.0 ? 9.0 : 1.5, colour);
    if (inside <= 0.0)
        return;
    face = face_at(
        sheet, (struct point){local.x + sheet->width_mm / 2.0, local.y + sheet->height_mm / 2.0},
        sight->footprint_mm);
    if (sheet->veil > 0.0)
        colour_over(&face, &sheet->white_response, sheet->veil);
    if (slope != 0.0) /* the window is up and to the left */
        colour_scale(&face, 1.0 + slope * (0.35 * sheet->lift.x + 0.2 * sheet->lift.y));
    colour_over(colour, &face, inside);
}

void sheet_cell_lab(const struct sheet *sheet, const struct observer *observer, int cell,
                    double lab[3])
{
    enum { PLACES = 48 };
    const struct cell *painted = &sheet->cells[cell];
    struct point corner = sheet_cell_corner(sheet, cell / sheet->columns, cell % sheet->columns);
    double rim = sheet->shape == SHAPE_DISC ? 0.25 : 0.2, inner = 1.0 - 2.0 * rim;
    double weight[DENSITY_STEPS + 1] = {0.0};
    struct spectrum mean = {{0.0}};

    if (painted->ink == NO_INK) {
        observer_lab(observer, &sheet->paper, lab);
        return;
    }
    for (int i = 0; i < PLACES * PLACES; i++) {
        struct point place = {
            corner.x + sheet->cell_width_mm * (rim + inner * (i % PLACES + 0.5) / PLACES),
            corner.y + sheet->cell_height_mm * (rim + inner * (i / PLACES + 0.5) / PLACES)};
        double density = density_at(sheet, painted, place, 0.0);
        double step = clamp(density / DENSITY_MAX, 0.0, 0.9999) * DENSITY_STEPS;
        int low = (int)step;

        weight[low] += 1.0 - (step - low);
        weight[low + 1] += step - low;
    }
    for (int step = 0; step <= DENSITY_STEPS; step++) {
        struct spectrum spectrum =
            ink_reflectance(painted->ink, &sheet->paper, DENSITY_MAX * step / DENSITY_STEPS);

        for (int i = 0; i < BANDS; i++)
            mean.at[i] += spectrum.at[i] * weight[step] / (PLACES * PLACES);
    }
    observer_lab(observer, &mean, lab);
}

static struct spectrum grey_spectrum(double blue_end, double red_end)
{
    struct spectrum spectrum;

    for (int i = 0; i < BANDS; i++)
        spectrum.at[i] = blue_end + (red_end - blue_end) * i / (BANDS - 1);
    return spectrum;
}

void sheet_expose(struct sheet *sheet, const struct receptor *receptor)
{
    struct spectrum black = grey_spectrum(0.06, 0.07), white = grey_spectrum(1.0, 1.0),
                    pen = grey_spectrum(0.22, 0.03);
    int cells = sheet->rows * sheet->columns;

    sheet->paper_response = receptor_see(receptor, &sheet->paper);
    sheet->white_response = receptor_see(receptor, &white);
    sheet->tool_response[TOOL_BLACK] = receptor_see(receptor, &black);
    sheet->tool_response[TOOL_PEN] = receptor_see(receptor, &pen);
    sheet->ink_response =
        allocate((size_t)cells * (DENSITY_STEPS + 1), sizeof *sheet->ink_response);
    for (int cell = 0; cell < cells; cell++)
        for (int step = 0; step <= DENSITY_STEPS && sheet->cells[cell].ink != NO_INK; step++) {
            struct spectrum spectrum = ink_reflectance(sheet->cells[cell].ink, &sheet->paper,
                                                       DENSITY_MAX * step / DENSITY_STEPS);

            sheet->ink_response[cell * (DENSITY_STEPS + 1) + step] =
                receptor_see(receptor, &spectrum);
        }
}

void sheet_release(struct sheet *sheet)
{
    free(sheet->ink_response);
    sheet->ink_response = NULL;
    print_release(&sheet->print);
}
