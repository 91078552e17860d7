#include "check_marks.h"

#include <math.h>

#define NOTCH_FRACTION 0.38 /* of the patch's side */

static struct paint grey(double level)
{
    return (struct paint){level, level, level, 1};
}

struct paint check_ink(void)
{
    return grey(0.1);
}

struct paint check_faint(void)
{
    return grey(0.42);
}

struct paint check_ground(void)
{
    return grey(0.93);
}

void check_mark_chip(struct canvas *canvas, struct box box, const struct shown *shown)
{
    struct quad quad = box_quad(box);

    canvas_outline_quad(canvas, &quad, (struct outline){3, false, 1});
    canvas_fill_box(canvas, box, shown->paint);
    if (shown->clipped)
        check_mark_ring(canvas, box);
}

void check_mark_split(struct canvas *canvas, struct box box, const struct shown *left,
                      const struct shown *right)
{
    struct box half = {box.x, box.y, box.width / 2, box.height};
    struct quad quad = box_quad(box);

    canvas_outline_quad(canvas, &quad, (struct outline){2, false, 1});
    canvas_fill_box(canvas, half, left->paint);
    half.x += half.width;
    canvas_fill_box(canvas, half, right->paint);
}

void check_mark_cross(struct canvas *canvas, const struct quad *quad)
{
    const struct outline outline = {2.5, false, 1};

    canvas_outline_line(canvas, quad->corner[0], quad->corner[2], outline);
    canvas_outline_line(canvas, quad->corner[1], quad->corner[3], outline);
}

void check_mark_look(struct canvas *canvas, struct point at)
{
    canvas_dot(canvas, at, CHECK_LOOK_PX + 1.5, grey(1));
    canvas_dot(canvas, at, CHECK_LOOK_PX, check_ink());
}

void check_mark_notch(struct canvas *canvas, const struct quad *patch)
{
    struct point tip = patch->corner[0];
    struct quad triangle = {{tip, point_between(tip, patch->corner[1], NOTCH_FRACTION),
                             point_between(tip, patch->corner[3], NOTCH_FRACTION), tip}};

    canvas_outline_quad(canvas, &triangle, (struct outline){2, false, 1});
    canvas_fill_quad(canvas, &triangle, grey(1));
}

void check_mark_ring(struct canvas *canvas, struct box box)
{
    double radius = fmin(fmin(box.width, box.height) * 0.16, 6);

    canvas_ring(canvas, (struct point){box.x + 2 * radius, box.y + 2 * radius}, radius,
                (struct outline){1.5, false, 1});
}

void check_mark_plate(struct canvas *canvas, struct box box, double size_px, const char *text)
{
    struct lettering lettering = {size_px, false, LETTERING_CENTRE, check_ink()};

    double width = fmin(canvas_text_width(canvas, &lettering, text) + 8, box.width);
    struct box plate = {box.x + (box.width - width) / 2, box.y, width, box.height};

    canvas_fill_box(canvas, plate, (struct paint){1, 1, 1, 0.86});
    canvas_text(canvas, &lettering,
                (struct point){box.x + box.width / 2, box.y + (box.height + 0.72 * size_px) / 2},
                box.width - 4, text);
}
