#include "canvas.h"

#include "base/utf8.h"
#include "canvas_pixel.h"
#include "files/mark.h"
#include "files/whole_file.h"
#include "values/angle.h"

#include <cairo-svg.h>
#include <cairo.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define RIM_PX_MIN 1.0 /* of an outline's dark rim, each side */
#define RIM_FRACTION 0.5
#define DASH_PX 6.0
#define DASH_GAP_PX 4.0

struct canvas {
    cairo_surface_t *surface;
    cairo_t *context;
    FILE *svg; /* of shapes: into the bytes; NULL: of pixels */
    char *svg_bytes;
    size_t svg_size;
};

/* --- making and writing --------------------------------------------------------------------- */

static void set_paint(struct canvas *canvas, struct paint paint)
{
    cairo_set_source_rgba(canvas->context, paint.red, paint.green, paint.blue, paint.cover);
}

/* Hinted letters change their width by steps, so that shrunk text might not fit after all. */
static void let_letters_scale(struct canvas *canvas)
{
    cairo_font_options_t *options = cairo_font_options_create();

    cairo_font_options_set_hint_metrics(options, CAIRO_HINT_METRICS_OFF);
    cairo_set_font_options(canvas->context, options);
    cairo_font_options_destroy(options);
}

/* Begin to draw on a canvas that has its surface, and paint its ground; released on failure. */
static enum status canvas_start(struct canvas *canvas, struct paint ground, struct error *error)
{
    canvas->context = cairo_create(canvas->surface);
    if (cairo_status(canvas->context)) {
        canvas_release(canvas);
        return error_set(error, STATUS_MEMORY, "out of memory: no room for a picture");
    }
    set_paint(canvas, ground);
    cairo_paint(canvas->context);
    cairo_set_line_join(canvas->context, CAIRO_LINE_JOIN_ROUND);
    let_letters_scale(canvas);
    return STATUS_OK;
}

enum status canvas_create(int width_px, int height_px, struct paint ground, struct canvas **canvas,
                          struct error *error)
{
    struct canvas *made = calloc(1, sizeof *made);
    enum status status;

    *canvas = NULL;
    if (!made)
        return error_set(error, STATUS_MEMORY, "out of memory: no room for a picture");
    made->surface = cairo_image_surface_create(CAIRO_FORMAT_RGB24, width_px, height_px);
    status = canvas_start(made, ground, error);
    if (!status)
        *canvas = made;
    return status;
}

static cairo_status_t write_bytes(void *stream, const unsigned char *bytes, unsigned length)
{
    return fwrite(bytes, 1, length, stream) == length ? CAIRO_STATUS_SUCCESS
                                                      : CAIRO_STATUS_WRITE_ERROR;
}

enum status canvas_create_shapes(int width_px, int height_px, struct paint ground,
                                 struct canvas **canvas, struct error *error)
{
    struct canvas *made = calloc(1, sizeof *made);
    enum status status;

    *canvas = NULL;
    if (made)
        made->svg = open_memstream(&made->svg_bytes, &made->svg_size);
    if (!made || !made->svg) {
        canvas_release(made);
        return error_set(error, STATUS_MEMORY, "out of memory: no room for a picture");
    }
    made->surface =
        cairo_svg_surface_create_for_stream(write_bytes, made->svg, width_px, height_px);
    cairo_svg_surface_set_document_unit(made->surface, CAIRO_SVG_UNIT_PX);
    status = canvas_start(made, ground, error);
    if (!status)
        *canvas = made;
    return status;
}

void canvas_release(struct canvas *canvas)
{
    if (!canvas)
        return;
    cairo_destroy(canvas->context);
    cairo_surface_destroy(canvas->surface);
    if (canvas->svg) /* behind the surface, which writes its end into it */
        fclose(canvas->svg);
    free(canvas->svg_bytes);
    free(canvas);
}

static cairo_status_t write_png_bytes(void *stream, const unsigned char *bytes, unsigned length)
{
    return mark_png_write(stream, bytes, length) ? CAIRO_STATUS_SUCCESS : CAIRO_STATUS_WRITE_ERROR;
}

static cairo_status_t put_png(const struct canvas *canvas, FILE *file)
{
    struct mark_png_stream stream = {file, 0};

    return cairo_surface_write_to_png_stream(canvas->surface, write_png_bytes, &stream);
}

static cairo_status_t put_svg(const struct canvas *canvas, FILE *stream)
{
    cairo_surface_finish(canvas->surface);
    if (cairo_surface_status(canvas->surface) || fflush(canvas->svg))
        return CAIRO_STATUS_NO_MEMORY;
    return write_bytes(stream, (const unsigned char *)canvas->svg_bytes,
                       (unsigned)canvas->svg_size);
}

static enum status write_whole(const struct canvas *canvas, const char *path,
                               const struct whole_file_kind *kind,
                               cairo_status_t (*put)(const struct canvas *, FILE *),
                               struct error *error)
{
    cairo_status_t drawn = cairo_status(canvas->context);
    struct whole_file file;
    enum status status;

    if (drawn)
        return error_set(error, STATUS_MEMORY, "%s: the picture can't be drawn (%s)", path,
                         cairo_status_to_string(drawn));
    status = whole_file_begin(path, kind, &file, error);
    if (status)
        return status;
    drawn = put(canvas, file.stream);
    if (drawn)
        status = error_set(error, drawn == CAIRO_STATUS_NO_MEMORY ? STATUS_MEMORY : STATUS_FILE,
                           "%s: can't be written (%s): check the disk's free space", path,
                           cairo_status_to_string(drawn));
    return whole_file_end(&file, status, error);
}

enum status canvas_write_png(const struct canvas *canvas, const char *path, struct error *error)
{
    return write_whole(canvas, path, &whole_file_png, put_png, error);
}

enum status canvas_write_svg(struct canvas *canvas, const char *path, struct error *error)
{
    return write_whole(canvas, path, &whole_file_svg, put_svg, error);
}

/* --- images --------------------------------------------------------------------------------- */

void canvas_image(struct canvas *canvas, const struct image *image, struct box box)
{
    double step = image->width_px / box.width;
    int side = (int)lround(step); /* of points in one pixel: bilinear ones reach as far again */
    int stride = cairo_image_surface_get_stride(canvas->surface);
    unsigned char *data;

    cairo_surface_flush(canvas->surface);
    data = cairo_image_surface_get_data(canvas->surface);
    for (int y = 0; y < (int)box.height; y++) {
        uint32_t *row = (void *)(data + (size_t)((int)box.y + y) * (size_t)stride);

        if ((int)box.y + y >= cairo_image_surface_get_height(canvas->surface))
            break;
        for (int x = 0; x < (int)box.width; x++)
            if ((int)box.x + x < cairo_image_surface_get_width(canvas->surface))
                row[(int)box.x + x] = canvas_pixel(image, (struct point){x * step, y * step}, step,
                                                   side > 1 ? side : 1);
    }
    cairo_surface_mark_dirty(canvas->surface);
}

/* --- shapes --------------------------------------------------------------------------------- */

struct quad box_quad(struct box box)
{
    return (struct quad){{{box.x, box.y},
                          {box.x + box.width, box.y},
                          {box.x + box.width, box.y + box.height},
                          {box.x, box.y + box.height}}};
}

static void path_of_quad(struct canvas *canvas, const struct quad *quad)
{
    for (int i = 0; i < 4; i++)
        cairo_line_to(canvas->context, quad->corner[i].x, quad->corner[i].y);
    cairo_close_path(canvas->context);
}

/* Stroke the path drawn, twice. */
static void stroke_outline(struct canvas *canvas, struct outline outline)
{
    const double dash[2] = {DASH_PX, DASH_GAP_PX};
    double rim_px = fmax(RIM_FRACTION * outline.width_px, RIM_PX_MIN);

    cairo_set_line_width(canvas->context, outline.width_px + 2 * rim_px);
    if (outline.dashed)
        cairo_set_dash(canvas->context, dash, 2, 0);
    set_paint(canvas, (struct paint){0.05, 0.05, 0.05, 0.8 * outline.cover});
    cairo_stroke_preserve(canvas->context);
    cairo_set_line_width(canvas->context, outline.width_px);
    set_paint(canvas, (struct paint){1, 1, 1, outline.cover});
    cairo_stroke(canvas->context);
    cairo_set_dash(canvas->context, NULL, 0, 0);
}

void canvas_fill_quad(struct canvas *canvas, const struct quad *quad, struct paint paint)
{
    path_of_quad(canvas, quad);
    set_paint(canvas, paint);
    cairo_fill(canvas->context);
}

void canvas_fill_box(struct canvas *canvas, struct box box, struct paint paint)
{
    struct quad quad = box_quad(box);

    canvas_fill_quad(canvas, &quad, paint);
}

void canvas_veil(struct canvas *canvas, struct box box, const struct quad *windows, int count,
                 struct paint paint)
{
    struct quad whole = box_quad(box);

    /* even-odd: a window is inside twice, so it stays bare */
    cairo_set_fill_rule(canvas->context, CAIRO_FILL_RULE_EVEN_ODD);
    path_of_quad(canvas, &whole);
    for (int i = 0; i < count; i++) {
        cairo_new_sub_path(canvas->context);
        path_of_quad(canvas, &windows[i]);
    }
    set_paint(canvas, paint);
    cairo_fill(canvas->context);
    cairo_set_fill_rule(canvas->context, CAIRO_FILL_RULE_WINDING);
}

void canvas_outline_quad(struct canvas *canvas, const struct quad *quad, struct outline outline)
{
    path_of_quad(canvas, quad);
    stroke_outline(canvas, outline);
}

void canvas_outline_line(struct canvas *canvas, struct point from, struct point to,
                         struct outline outline)
{
    cairo_move_to(canvas->context, from.x, from.y);
    cairo_line_to(canvas->context, to.x, to.y);
    stroke_outline(canvas, outline);
}

void canvas_line(struct canvas *canvas, struct point from, struct point to, double width_px,
                 struct paint paint)
{
    cairo_move_to(canvas->context, from.x, from.y);
    cairo_line_to(canvas->context, to.x, to.y);
    cairo_set_line_width(canvas->context, width_px);
    set_paint(canvas, paint);
    cairo_stroke(canvas->context);
}

void canvas_lines(struct canvas *canvas, const struct point *points, int count, double width_px,
                  struct paint paint)
{
    for (int i = 0; i < count; i++)
        cairo_line_to(canvas->context, points[i].x, points[i].y);
    cairo_set_line_width(canvas->context, width_px);
    set_paint(canvas, paint);
    cairo_stroke(canvas->context);
}

void canvas_dot(struct canvas *canvas, struct point centre, double radius, struct paint paint)
{
    cairo_new_sub_path(canvas->context);
    cairo_arc(canvas->context, centre.x, centre.y, radius, 0, ANGLE_FULL_TURN);
    set_paint(canvas, paint);
    cairo_fill(canvas->context);
}

void canvas_ring(struct canvas *canvas, struct point centre, double radius, struct outline outline)
{
    cairo_new_sub_path(canvas->context);
    cairo_arc(canvas->context, centre.x, centre.y, radius, 0, ANGLE_FULL_TURN);
    stroke_outline(canvas, outline);
}

/* --- text ----------------------------------------------------------------------------------- */

#define TEXT_BYTES_MAX 1280
#define ELLIPSIS "\xE2\x80\xA6"

/* Cairo refuses to draw anything more after text it does not take. */
static bool is_drawable(int32_t code)
{
    return code >= 0 && !utf8_is_control(code) && (code < 0xFDD0 || code > 0xFDEF) &&
           (code & 0xFFFE) != 0xFFFE;
}

static void clean_text(const char *text, char clean[TEXT_BYTES_MAX])
{
    size_t length = 0;

    while (*text && length + 4 < TEXT_BYTES_MAX) {
        const char *start = text;
        bool drawable = is_drawable(utf8_next(&text));
        size_t bytes = drawable ? (size_t)(text - start) : 1;

        memcpy(clean + length, drawable ? start : "?", bytes);
        length += bytes;
    }
    clean[length] = '\0';
}

static void set_lettering(struct canvas *canvas, const struct lettering *lettering)
{
    cairo_select_font_face(canvas->context, "sans-serif", CAIRO_FONT_SLANT_NORMAL,
                           lettering->bold ? CAIRO_FONT_WEIGHT_BOLD : CAIRO_FONT_WEIGHT_NORMAL);
    cairo_set_font_size(canvas->context, lettering->size_px);
    set_paint(canvas, lettering->paint);
}

static double width_of(struct canvas *canvas, const char *clean)
{
    cairo_text_extents_t extents;

    cairo_text_extents(canvas->context, clean, &extents);
    return extents.x_advance;
}

/* Step back over one character. */
static size_t one_less(const char *text, size_t length)
{
    do
        length--;
    while (length > 0 && ((unsigned char)text[length] & 0xC0) == 0x80);
    return length;
}

/* The bytes of `text`, at most `length`, that fit into a width with `ending` behind them. */
static size_t length_that_fits(struct canvas *canvas, const char *text, size_t length,
                               const char *ending, double width_px)
{
    char tried[TEXT_BYTES_MAX + sizeof ELLIPSIS];

    for (; length > 0; length = one_less(text, length)) {
        snprintf(tried, sizeof tried, "%.*s%s", (int)length, text, ending);
        if (width_of(canvas, tried) <= width_px)
            break;
    }
    return length;
}

static void show(struct canvas *canvas, const struct lettering *lettering, struct point at,
                 const char *clean)
{
    double share = lettering->side == LETTERING_LEFT     ? 0
                   : lettering->side == LETTERING_CENTRE ? 0.5
                                                         : 1;

    cairo_move_to(canvas->context, at.x - share * width_of(canvas, clean), at.y);
    cairo_show_text(canvas->context, clean);
    cairo_new_path(canvas->context);
}

/* One line of text: `length` bytes of it, and whether more is left out behind them. */
struct line {
    const char *text;
    size_t length;
    bool more;
};

static void show_line(struct canvas *canvas, const struct lettering *lettering, struct point at,
                      double width_px, struct line line)
{
    char shown[TEXT_BYTES_MAX + sizeof ELLIPSIS];
    size_t fits =
        length_that_fits(canvas, line.text, line.length, line.more ? ELLIPSIS : "", width_px);

    if (!line.more && fits < line.length) {
        line.more = true;
        fits = length_that_fits(canvas, line.text, fits, ELLIPSIS, width_px);
    }
    while (fits > 0 && line.text[fits - 1] == ' ')
        fits--;
    snprintf(shown, sizeof shown, "%.*s%s", (int)fits, line.text, line.more ? ELLIPSIS : "");
    show(canvas, lettering, at, shown);
}

double canvas_text_width(struct canvas *canvas, const struct lettering *lettering, const char *text)
{
    char clean[TEXT_BYTES_MAX];

    clean_text(text, clean);
    set_lettering(canvas, lettering);
    return width_of(canvas, clean);
}

double canvas_word_width(struct canvas *canvas, const struct lettering *lettering, const char *text)
{
    char clean[TEXT_BYTES_MAX];
    double widest = 0;

    clean_text(text, clean);
    set_lettering(canvas, lettering);
    for (char *word = clean + strspn(clean, " "); *word;) {
        char *end = word + strcspn(word, " ");
        char *next = end + strspn(end, " ");

        *end = '\0';
        widest = fmax(widest, width_of(canvas, word));
        word = next;
    }
    return widest;
}

void canvas_text(struct canvas *canvas, const struct lettering *lettering, struct point at,
                 double width_px, const char *text)
{
    char clean[TEXT_BYTES_MAX];

    clean_text(text, clean);
    set_lettering(canvas, lettering);
    show_line(canvas, lettering, at, width_px, (struct line){clean, strlen(clean), false});
}

/* The bytes of the whole words that fit on a line; of one word too long for it, what fits. */
static size_t words_that_fit(struct canvas *canvas, const char *text, double width_px)
{
    size_t fits = 0, end = 0;

    while (text[end]) {
        end += strspn(text + end, " ");
        end += strcspn(text + end, " ");
        if (length_that_fits(canvas, text, end, "", width_px) < end)
            break;
        fits = end;
    }
    if (fits == 0)
        fits = length_that_fits(canvas, text, end, "", width_px);
    return fits > 0 ? fits : strlen(text);
}

double canvas_paragraph(struct canvas *canvas, const struct lettering *lettering, struct box box,
                        const char *text)
{
    const double spacing = CANVAS_LINE_SPACING * lettering->size_px;
    double x = box.x + (lettering->side == LETTERING_CENTRE  ? box.width / 2
                        : lettering->side == LETTERING_RIGHT ? box.width
                                                             : 0);
    char clean[TEXT_BYTES_MAX];
    const char *rest = clean;
    double y = box.y;

    clean_text(text, clean);
    set_lettering(canvas, lettering);
    for (rest += strspn(rest, " "); *rest && y + spacing <= box.y + box.height + 0.01;
         y += spacing) {
        bool is_last = y + 2 * spacing > box.y + box.height + 0.01;
        struct line line = {rest, words_that_fit(canvas, rest, box.width), false};

        rest += line.length;
        rest += strspn(rest, " ");
        if (is_last && *rest)
            line = (struct line){line.text, strlen(line.text), false};
        show_line(canvas, lettering, (struct point){x, y + lettering->size_px}, box.width, line);
    }
    return y;
}
