#include "output/check_picture.h"

#include "output/canvas.h"

#include <string.h>
#include <strings.h>

enum status check_picture_write(const char *path, const struct photo *photo,
                                const struct measurement *measurement, const struct names *names,
                                struct error *error)
{
    const int width_px = 2000;
    size_t length = strlen(path);
    double scale = (double)width_px / photo->image.width_px;
    struct canvas *canvas = NULL;
    enum status status;

    (void)names;
    if (length < 5 || strcasecmp(path + length - 4, ".png"))
        return error_set(error, STATUS_USAGE,
                         "%s: the check picture is a PNG: end its name in .png", path);
    status = canvas_create(width_px, (int)(photo->image.height_px * scale),
                           (struct paint){1, 1, 1, 1}, &canvas, error);
    if (!status) {
        canvas_image(canvas, &photo->image,
                     (struct box){0, 0, width_px, (int)(photo->image.height_px * scale)});
        for (int i = 0; i < measurement->chart.rows * measurement->chart.columns; i++) {
            struct quad quad = measurement->readings[i].sampled;
            for (int j = 0; j < 4; j++)
                quad.corner[j] = point_scale(quad.corner[j], scale);
            canvas_outline_quad(canvas, &quad, (struct outline){2, false, 1});
        }
        status = canvas_write_png(canvas, path, error);
    }
    canvas_release(canvas);
    return status;
}
