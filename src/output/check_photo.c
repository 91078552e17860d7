#include "check_drawing.h"
#include "check_marks.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#define VEIL_COVER 0.42     /* of the desk around card and chart */
#define WINDOW_MARGIN_PX 48 /* left bare around them: room for the letters and numbers */
#define CHIP_FRACTION 0.36  /* of a cell's smaller side */
#define WIDE_FROM_PX 72     /* narrower cells get thin outlines */
#define TAG_PX 26           /* the letters and numbers at the chart's rims */

/* --- places --------------------------------------------------------------------------------- */

/* Where on the canvas a quad of the photo lies. */
static struct quad on_canvas(const struct check_drawing *drawing, const struct quad *working)
{
    const struct box *photo = &drawing->layout.photo;
    double scale = photo->width / drawing->photo->image.width_px;
    struct quad quad;

    for (int i = 0; i < 4; i++)
        quad.corner[i] =
            point_add(point_scale(working->corner[i], scale), (struct point){photo->x, photo->y});
    return quad;
}

/* An upright box within a quad that may be turned, about its centre. */
static struct box upright_box(const struct quad *quad)
{
    struct point along = point_subtract(quad->corner[1], quad->corner[0]);
    struct point down = point_subtract(quad->corner[3], quad->corner[0]);
    struct point centre = quad_centre(quad);
    double width = fmax(hypot(along.x, along.y), 1), height = fmax(hypot(down.x, down.y), 1);
    double sine = fabs(along.y) / width, cosine = fabs(along.x) / width;
    double longer = fmax(width / height, height / width);
    double shrink = 1 / fmax(fmax(sine, cosine) + fmin(sine, cosine) * longer, 1);
    bool on_its_side = sine > cosine;
    double across = shrink * (on_its_side ? height : width);
    double upright = shrink * (on_its_side ? width : height);

    return (struct box){centre.x - across / 2, centre.y - upright / 2, across, upright};
}

/* --- the chart ------------------------------------------------------------------------------ */

/* How the cells are drawn, in pixels of the canvas. */
struct cell_style {
    double chip_px;
    double line_px;
};

static void draw_cell(const struct check_drawing *drawing, const struct cell_style *style, int i)
{
    const struct reading *reading = &drawing->chart->readings[i];
    struct quad outline = on_canvas(drawing, &reading->outline);
    struct quad sampled = on_canvas(drawing, &reading->sampled);
    struct box box = upright_box(&outline);
    double chip_px = style->chip_px;
    bool empty = reading->found == CELL_EMPTY;

    canvas_outline_quad(drawing->canvas, &outline,
                        (struct outline){empty ? 1 : style->line_px, empty, empty ? 0.7 : 1});
    if (!empty)
        canvas_outline_quad(drawing->canvas, &sampled, (struct outline){1, false, 0.7});
    if (reading->found == CELL_UNREADABLE)
        check_mark_cross(drawing->canvas, &outline);
    if (reading->found == CELL_INK)
        check_mark_chip(drawing->canvas,
                        (struct box){box.x + box.width - chip_px - 4, box.y + 4, chip_px, chip_px},
                        &drawing->cells[i]);
    if (check_wants_look(drawing, reading))
        check_mark_look(drawing->canvas,
                        (struct point){box.x + 2.5 * CHECK_LOOK_PX, box.y + 2.5 * CHECK_LOOK_PX});
}

/* One style for all cells, so that they look alike: what the smallest has room for. Letters stand
 * at the chart's rims and in the panel, not on the swatches. */
static struct cell_style style_of_cells(const struct check_drawing *drawing)
{
    double width = HUGE_VAL, height = HUGE_VAL;
    struct cell_style style;

    for (int i = 0; i < check_cells(drawing); i++) {
        struct quad outline = on_canvas(drawing, &drawing->chart->readings[i].outline);
        struct box box = upright_box(&outline);

        width = fmin(width, box.width);
        height = fmin(height, box.height);
    }
    style.chip_px = CHIP_FRACTION * fmin(width, height);
    style.line_px = width < WIDE_FROM_PX ? 1.2 : 2;
    return style;
}

static void draw_cells(const struct check_drawing *drawing)
{
    struct cell_style style = style_of_cells(drawing);

    for (int i = 0; i < check_cells(drawing); i++)
        draw_cell(drawing, &style, i);
}

static void draw_lattice(const struct check_drawing *drawing)
{
    const struct chart_pose *chart = &drawing->chart->pose;

    for (int i = 0; i < chart->rows * chart->columns; i++) {
        struct quad outline = on_canvas(drawing, &chart->outline[i]);

        canvas_outline_quad(drawing->canvas, &outline, (struct outline){2, !chart->seen[i], 1});
    }
}

/* A row's letter or a column's number, outwards of the side between two corners of a cell. */
static void draw_tag(const struct check_drawing *drawing, const struct quad *cell, int from, int to,
                     const char *text)
{
    struct quad quad = on_canvas(drawing, cell);
    struct point middle = point_between(quad.corner[from], quad.corner[to], 0.5);
    struct point away = point_subtract(middle, quad_centre(&quad));
    double length = fmax(hypot(away.x, away.y), 1);
    struct point at = point_add(middle, point_scale(away, 0.8 * TAG_PX / length));
    struct lettering lettering = {17, true, LETTERING_CENTRE, {1, 1, 1, 1}};

    canvas_fill_box(drawing->canvas,
                    (struct box){at.x - TAG_PX / 2.0, at.y - TAG_PX / 2.0, TAG_PX, TAG_PX},
                    (struct paint){0.1, 0.1, 0.1, 0.78});
    canvas_text(drawing->canvas, &lettering, (struct point){at.x, at.y + 6}, TAG_PX, text);
}

static void draw_tags(const struct check_drawing *drawing)
{
    const struct chart_pose *chart = &drawing->chart->pose;
    char text[NAMES_LABEL_SIZE];

    for (int row = 0; row < chart->rows; row++) {
        names_label(row + 1, 1, text);
        text[strcspn(text, "0123456789")] = '\0';
        draw_tag(drawing, &chart->outline[row * chart->columns], 0, 3, text);
    }
    for (int column = 0; column < chart->columns; column++) {
        snprintf(text, sizeof text, "%d", column + 1);
        draw_tag(drawing, &chart->outline[column], 0, 1, text);
    }
}

/* --- the card ------------------------------------------------------------------------------- */

static void draw_patch(const struct check_drawing *drawing, int patch)
{
    const struct quad *working = &drawing->measurement->card.patch[patch];
    struct quad inner = quad_inset(working, MEASUREMENT_PATCH_INSET);
    struct quad area = on_canvas(drawing, &inner);
    struct box box = upright_box(&area);
    struct box chip = {box.x + 0.2 * box.width, box.y + 0.25 * box.height, 0.6 * box.width,
                       0.5 * box.height};

    canvas_outline_quad(drawing->canvas, &area, (struct outline){1, false, 0.75});
    if (drawing->cells)
        check_mark_split(drawing->canvas, chip, &drawing->patch_measured[patch],
                         &drawing->patch_tabulated[patch]);
    if (check_patch_left_out(drawing, patch))
        check_mark_cross(drawing->canvas, &area);
}

static void draw_card(const struct check_drawing *drawing)
{
    struct quad corners = on_canvas(drawing, &drawing->measurement->card.corners);
    struct quad first = on_canvas(drawing, &drawing->measurement->card.patch[0]);
    int turns = 0;

    canvas_outline_quad(drawing->canvas, &corners, (struct outline){3, false, 1});
    for (int i = 0; i < drawing->card->shape.patches; i++)
        draw_patch(drawing, i);
    for (int i = 1; i < 4; i++) /* the patch's corner that is the card's own */
        if (point_distance(first.corner[i], corners.corner[0]) <
            point_distance(first.corner[turns], corners.corner[0]))
            turns = i;
    first = (struct quad){{first.corner[turns], first.corner[(turns + 1) % 4],
                           first.corner[(turns + 2) % 4], first.corner[(turns + 3) % 4]}};
    check_mark_notch(drawing->canvas, &first);
}

/* --- all of it ------------------------------------------------------------------------------ */

/* One corner moved outwards along both its sides. */
static struct point moved_out(const struct quad *quad, int corner, double distance)
{
    struct point at = quad->corner[corner];
    struct point moved = at;

    for (int side = 1; side <= 3; side += 2) {
        struct point away = point_subtract(at, quad->corner[(corner + side) % 4]);
        double length = fmax(hypot(away.x, away.y), 1);

        moved = point_add(moved, point_scale(away, distance / length));
    }
    return moved;
}

static struct quad widened(const struct quad *quad, double distance)
{
    struct quad wide;

    for (int i = 0; i < 4; i++)
        wide.corner[i] = moved_out(quad, i, distance);
    return wide;
}

static void veil_desk(const struct check_drawing *drawing)
{
    const struct measurement *measurement = drawing->measurement;
    struct quad windows[2];
    int count = 0;

    if (check_has_card(drawing))
        windows[count++] = on_canvas(drawing, &measurement->card.corners);
    if (check_has_chart(drawing))
        windows[count++] = on_canvas(drawing, &drawing->chart->pose.corners);
    for (int i = 0; i < count; i++)
        windows[i] = widened(&windows[i], WINDOW_MARGIN_PX);
    if (count)
        canvas_veil(drawing->canvas, drawing->layout.photo, windows, count,
                    (struct paint){0.5, 0.5, 0.5, VEIL_COVER});
}

void check_photo_draw(const struct check_drawing *drawing)
{
    canvas_image(drawing->canvas, &drawing->photo->image, drawing->layout.photo);
    veil_desk(drawing);
    if (check_has_chart(drawing)) {
        if (drawing->cells)
            draw_cells(drawing);
        else
            draw_lattice(drawing);
        draw_tags(drawing);
    }
    if (check_has_card(drawing))
        draw_card(drawing);
}
