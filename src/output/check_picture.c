#include "output/check_picture.h"

#include "base/memory.h"
#include "check_drawing.h"
#include "check_marks.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>

#define ENDING ".png"
#define BOTTOM_MARGIN_PX 36

/* --- colours as a screen shows them --------------------------------------------------------- */

static void show_colours(const struct lab *labs, int count, struct shown *shown)
{
    for (int i = 0; i < count; i++) {
        struct rgb rgb;

        colour_srgb_from_lab(&labs[i], 1, &rgb);
        shown[i].paint = (struct paint){rgb.channel[0], rgb.channel[1], rgb.channel[2], 1};
        shown[i].clipped = false;
        for (int k = 0; k < 3; k++) /* only what was out of range lands on its very ends */
            shown[i].clipped |= rgb.channel[k] <= 0 || rgb.channel[k] >= 1;
    }
}

static enum status show_measured(struct check_drawing *drawing, struct error *error)
{
    const struct measurement *measurement = drawing->measurement;
    const int patches = drawing->card->shape.patches;
    int count = drawing->chart->pose.rows * drawing->chart->pose.columns;

    if (!drawing->chart->readings)
        return STATUS_OK;
    drawing->cells = memory_array((size_t)count, sizeof *drawing->cells, "colours", error);
    if (!drawing->cells)
        return error->status;
    for (int i = 0; i < count; i++)
        show_colours(&drawing->chart->readings[i].lab, 1, &drawing->cells[i]);
    show_colours(drawing->card->patch, patches, drawing->patch_tabulated);
    show_colours(measurement->quality.measured, patches, drawing->patch_measured);
    for (int i = 0; i < patches; i++) /* a patch that was not read has no colour */
        if (!(measurement->quality.measured[i].L > 0))
            drawing->patch_measured[i].paint = check_faint();
    show_colours(&measurement->paper, 1, &drawing->paper);
    return STATUS_OK;
}

/* --- all of it ------------------------------------------------------------------------------ */

static double draw_panel(const struct check_drawing *drawing, const char *refusal)
{
    return refusal ? check_refusal_draw(drawing, refusal) : check_panel_draw(drawing);
}

/* How high the picture must be: a panel drawn on next to nothing tells where it ends. */
static enum status measure_height(struct check_drawing *drawing, const char *refusal,
                                  int *height_px, struct error *error)
{
    double photo_end = drawing->layout.photo.y + drawing->layout.photo.height;
    enum status status = canvas_create(1, 1, check_ground(), &drawing->canvas, error);

    if (status)
        return status;
    *height_px = (int)ceil(fmax(photo_end, draw_panel(drawing, refusal) + BOTTOM_MARGIN_PX));
    canvas_release(drawing->canvas);
    drawing->canvas = NULL;
    return STATUS_OK;
}

static enum status check_ending(const char *path, struct error *error)
{
    size_t length = strlen(path), ending = strlen(ENDING);

    if (length > ending && !strcasecmp(path + length - ending, ENDING))
        return STATUS_OK;
    return error_set(error, STATUS_USAGE,
                     "%s: the check picture is written as PNG: end its name in .png", path);
}

/* `refusal` NULL: the photo was measured. */
static enum status write_picture(const char *path, struct check_drawing *drawing,
                                 const char *refusal, struct error *error)
{
    const struct chart_pose *chart = &drawing->chart->pose;
    int height_px = 0;
    enum status status = check_ending(path, error);

    drawing->layout = check_layout_make(&drawing->photo->image, refusal ? 0 : chart->rows,
                                        refusal ? 0 : chart->columns, drawing->names != NULL);
    if (!status)
        status = show_measured(drawing, error);
    if (!status)
        status = measure_height(drawing, refusal, &height_px, error);
    if (!status)
        status = canvas_create(CHECK_WIDTH_PX, height_px, check_ground(), &drawing->canvas, error);
    if (!status) {
        check_photo_draw(drawing);
        draw_panel(drawing, refusal);
        status = canvas_write_png(drawing->canvas, path, error);
    }
    canvas_release(drawing->canvas);
    free(drawing->cells);
    return status;
}

static struct check_drawing drawing_of(const struct check_subject *subject)
{
    return (struct check_drawing){.photo = subject->photo,
                                  .measurement = subject->measurement,
                                  .chart = &subject->measurement->charts[subject->chart],
                                  .card = subject->card,
                                  .names = subject->names};
}

enum status check_picture_write(const char *path, const struct check_subject *subject,
                                struct error *error)
{
    struct check_drawing drawing = drawing_of(subject);

    return write_picture(path, &drawing, NULL, error);
}

enum status check_picture_write_refusal(const char *path, const struct check_subject *subject,
                                        const char *message, struct error *error)
{
    struct check_drawing drawing = drawing_of(subject);

    return write_picture(path, &drawing, message, error);
}
