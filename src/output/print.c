#include "print.h"

#include "base/memory.h"
#include "files/mark.h"
#include "files/whole_file.h"
#include "print_catalog.h"

#include <cairo-pdf.h>
#include <cairo-svg.h>
#include <math.h>
#include <pango/pangocairo.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>
#include <time.h>

#define POINTS_PER_MM (72 / 25.4)
#define PNG_DOTS_PER_MM (300 / 25.4)
#define PAGES_MAX 200
#define SHRINK_STEP 0.93
#define SHRINK_MAX 0.5 /* smaller letters are not read any more */
#define DASH_MM 1.5

struct print {
    struct point page_mm;
    const struct print_about *about;
    cairo_surface_t *pages[PAGES_MAX];
    int count;
    cairo_t *context; /* of the last page */
};

/* --- making ----------------------------------------------------------------------------------- */

enum status print_create(struct point page, const struct print_about *about, struct print **print,
                         struct error *error)
{
    struct print *made = calloc(1, sizeof *made);

    *print = made;
    if (!made)
        return error_set(error, STATUS_MEMORY, "out of memory: no room for a page");
    made->page_mm = page;
    made->about = about;
    return STATUS_OK;
}

void print_release(struct print *print)
{
    if (!print)
        return;
    if (print->context)
        cairo_destroy(print->context);
    for (int i = 0; i < print->count; i++)
        cairo_surface_destroy(print->pages[i]);
    free(print);
}

/* Hinted letters change their width by steps, and with the resolution. */
static void let_letters_scale(cairo_t *context)
{
    cairo_font_options_t *options = cairo_font_options_create();

    cairo_font_options_set_hint_style(options, CAIRO_HINT_STYLE_NONE);
    cairo_font_options_set_hint_metrics(options, CAIRO_HINT_METRICS_OFF);
    cairo_set_font_options(context, options);
    cairo_font_options_destroy(options);
}

/* With p drawn at (p - shift) / scale, the printer puts it at p. */
static void undo_habit(cairo_t *context, const struct print_habit *habit)
{
    cairo_scale(context, 1 / habit->scale.x, 1 / habit->scale.y);
    cairo_translate(context, -habit->shift_mm.x, -habit->shift_mm.y);
}

enum status print_add_page(struct print *print, const struct print_habit *habit,
                           struct error *error)
{
    const cairo_rectangle_t extents = {0, 0, print->page_mm.x * POINTS_PER_MM,
                                       print->page_mm.y * POINTS_PER_MM};

    if (print->count == PAGES_MAX)
        return error_set(error, STATUS_USAGE,
                         "that makes more than %d pages; print the sheets in several runs",
                         PAGES_MAX);
    if (print->context)
        cairo_destroy(print->context);
    print->pages[print->count] =
        cairo_recording_surface_create(CAIRO_CONTENT_COLOR_ALPHA, &extents);
    print->context = cairo_create(print->pages[print->count++]);
    if (cairo_status(print->context))
        return error_set(error, STATUS_MEMORY, "out of memory: no room for a page");
    cairo_scale(print->context, POINTS_PER_MM, POINTS_PER_MM);
    if (habit)
        undo_habit(print->context, habit);
    let_letters_scale(print->context);
    return STATUS_OK;
}

int print_pages(const struct print *print)
{
    return print->count;
}

/* --- writing ---------------------------------------------------------------------------------- */

static cairo_status_t write_bytes(void *stream, const unsigned char *bytes, unsigned length)
{
    return fwrite(bytes, 1, length, stream) == length ? CAIRO_STATUS_SUCCESS
                                                      : CAIRO_STATUS_WRITE_ERROR;
}

static void put_page(const struct print *print, int page, cairo_t *context)
{
    cairo_set_source_surface(context, print->pages[page], 0, 0);
    cairo_paint(context);
}

static cairo_status_t finish(cairo_surface_t *surface, cairo_t *context)
{
    cairo_status_t drawn = cairo_status(context);

    cairo_destroy(context);
    cairo_surface_finish(surface);
    if (!drawn)
        drawn = cairo_surface_status(surface);
    cairo_surface_destroy(surface);
    return drawn;
}

/* cairo would write the time of day into the file. */
static void set_about(const struct print *print, cairo_surface_t *surface)
{
    time_t made = (time_t)print->about->made_utc_s;
    char text[32];
    struct tm utc;

    cairo_pdf_surface_set_metadata(surface, CAIRO_PDF_METADATA_TITLE, print->about->title);
    cairo_pdf_surface_set_metadata(surface, CAIRO_PDF_METADATA_CREATOR, "woad");
    gmtime_r(&made, &utc);
    strftime(text, sizeof text, "%Y-%m-%dT%H:%M:%SZ", &utc);
    cairo_pdf_surface_set_metadata(surface, CAIRO_PDF_METADATA_CREATE_DATE, text);
}

static cairo_status_t put_pdf(const struct print *print, int page, FILE *stream)
{
    char *bytes = NULL;
    size_t size = 0;
    FILE *memory = open_memstream(&bytes, &size);
    cairo_surface_t *surface;
    cairo_status_t drawn;
    cairo_t *context;

    (void)page;
    if (!memory)
        return CAIRO_STATUS_NO_MEMORY;
    surface = cairo_pdf_surface_create_for_stream(
        write_bytes, memory, print->page_mm.x * POINTS_PER_MM, print->page_mm.y * POINTS_PER_MM);
    cairo_pdf_surface_restrict_to_version(surface, CAIRO_PDF_VERSION_1_4);
    set_about(print, surface);
    context = cairo_create(surface);
    for (int i = 0; i < print->count; i++) {
        put_page(print, i, context);
        cairo_show_page(context);
    }
    drawn = finish(surface, context);
    if (fclose(memory))
        drawn = CAIRO_STATUS_NO_MEMORY;
    if (!drawn && !print_catalog_write(bytes, size, stream))
        drawn = CAIRO_STATUS_WRITE_ERROR;
    free(bytes);
    return drawn;
}

static cairo_status_t put_svg(const struct print *print, int page, FILE *stream)
{
    cairo_surface_t *surface = cairo_svg_surface_create_for_stream(
        write_bytes, stream, print->page_mm.x * POINTS_PER_MM, print->page_mm.y * POINTS_PER_MM);
    cairo_t *context = cairo_create(surface);

    put_page(print, page, context);
    return finish(surface, context);
}

static cairo_status_t write_png_bytes(void *stream, const unsigned char *bytes, unsigned length)
{
    return mark_png_write(stream, bytes, length) ? CAIRO_STATUS_SUCCESS : CAIRO_STATUS_WRITE_ERROR;
}

static cairo_status_t put_png(const struct print *print, int page, FILE *file)
{
    struct mark_png_stream stream = {file, 0};
    cairo_surface_t *surface = cairo_image_surface_create(
        CAIRO_FORMAT_RGB24, (int)lround(print->page_mm.x * PNG_DOTS_PER_MM),
        (int)lround(print->page_mm.y * PNG_DOTS_PER_MM));
    cairo_t *context = cairo_create(surface);
    cairo_status_t drawn;

    cairo_set_source_rgb(context, 1, 1, 1);
    cairo_paint(context);
    cairo_scale(context, PNG_DOTS_PER_MM / POINTS_PER_MM, PNG_DOTS_PER_MM / POINTS_PER_MM);
    put_page(print, page, context);
    drawn = cairo_status(context);
    cairo_destroy(context);
    if (!drawn)
        drawn = cairo_surface_write_to_png_stream(surface, write_png_bytes, &stream);
    cairo_surface_destroy(surface);
    return drawn;
}

/* How a document is put into a file, and whether a file holds one page only. */
struct form {
    const char *ending;
    const struct whole_file_kind *kind;
    cairo_status_t (*put)(const struct print *print, int page, FILE *stream);
    bool a_file_a_page;
};

static const struct form *form_of(const char *path)
{
    static const struct form forms[] = {{".pdf", &whole_file_pdf, put_pdf, false},
                                        {".svg", &whole_file_svg, put_svg, true},
                                        {".png", &whole_file_png, put_png, true}};
    const char *ending = strrchr(path, '.');

    for (size_t i = 0; ending && i < sizeof forms / sizeof *forms; i++)
        if (strcasecmp(ending, forms[i].ending) == 0)
            return &forms[i];
    return NULL;
}

enum status print_check_name(const char *path, struct error *error)
{
    const struct form *form = form_of(path);

    if (form)
        return whole_file_check(&(struct whole_file_plan){path, form->kind}, 1, error);
    return error_set(error, STATUS_USAGE,
                     "%s: a sheet is written as .pdf, .svg or .png; give the file such an ending",
                     path);
}

static enum status write_file(const struct print *print, const struct form *form, int page,
                              const char *path, struct error *error)
{
    struct whole_file file;
    enum status status = whole_file_begin(path, form->kind, &file, error);
    cairo_status_t drawn;

    if (status)
        return status;
    drawn = form->put(print, page, file.stream);
    if (drawn)
        status = error_set(error, drawn == CAIRO_STATUS_NO_MEMORY ? STATUS_MEMORY : STATUS_FILE,
                           "%s: can't be written (%s): check the disk's free space", path,
                           cairo_status_to_string(drawn));
    return whole_file_end(&file, status, error);
}

/* "sheets.svg", "sheets-2.svg" and so on. */
static void name_of_page(const char *path, int page, char *name, size_t size)
{
    const char *ending = strrchr(path, '.');

    if (page)
        snprintf(name, size, "%.*s-%d%s", (int)(ending - path), path, page + 1, ending);
    else
        snprintf(name, size, "%s", path);
}

enum status print_write(const struct print *print, const char *path, struct error *error)
{
    const struct form *form = form_of(path);
    enum status status = print_check_name(path, error);
    char name[1024];

    if (status)
        return status;
    if (print->context && cairo_status(print->context))
        return error_set(error, STATUS_MEMORY, "%s: the sheet can't be drawn (%s)", path,
                         cairo_status_to_string(cairo_status(print->context)));
    for (int i = 0; !status && i < (form->a_file_a_page ? print->count : 1); i++) {
        name_of_page(path, i, name, sizeof name);
        status = write_file(print, form, i, name, error);
    }
    return status;
}

/* --- shapes ----------------------------------------------------------------------------------- */

static void set_paint(struct print *print, struct paint paint)
{
    cairo_set_source_rgba(print->context, paint.red, paint.green, paint.blue, paint.cover);
}

void print_fill(struct print *print, struct box box, struct paint paint)
{
    cairo_rectangle(print->context, box.x, box.y, box.width, box.height);
    set_paint(print, paint);
    cairo_fill(print->context);
}

void print_frame(struct print *print, struct box box, double width_mm, struct paint paint)
{
    cairo_rectangle(print->context, box.x, box.y, box.width, box.height);
    cairo_set_line_width(print->context, width_mm);
    set_paint(print, paint);
    cairo_stroke(print->context);
}

void print_line(struct print *print, struct point from, struct point to, double width_mm,
                struct paint paint)
{
    cairo_move_to(print->context, from.x, from.y);
    cairo_line_to(print->context, to.x, to.y);
    cairo_set_line_width(print->context, width_mm);
    set_paint(print, paint);
    cairo_stroke(print->context);
}

void print_dashes(struct print *print, struct point from, struct point to, double width_mm,
                  struct paint paint)
{
    const double dash = DASH_MM;

    cairo_set_dash(print->context, &dash, 1, 0);
    print_line(print, from, to, width_mm, paint);
    cairo_set_dash(print->context, NULL, 0, 0);
}

/* --- text ------------------------------------------------------------------------------------- */

static PangoAlignment alignment(enum lettering_side side)
{
    switch (side) {
    case LETTERING_CENTRE:
        return PANGO_ALIGN_CENTER;
    case LETTERING_RIGHT:
        return PANGO_ALIGN_RIGHT;
    default:
        return PANGO_ALIGN_LEFT;
    }
}

static void set_letters(PangoLayout *layout, const struct print_text *text, double size_mm)
{
    PangoFontDescription *font = pango_font_description_from_string("Sans");

    pango_font_description_set_weight(font, text->bold ? PANGO_WEIGHT_BOLD : PANGO_WEIGHT_NORMAL);
    pango_font_description_set_absolute_size(font, size_mm / 1.3 * PANGO_SCALE);
    pango_layout_set_font_description(layout, font);
    pango_font_description_free(font);
}

static bool fits(PangoLayout *layout, const struct print_text *text, struct box box)
{
    PangoRectangle extents;

    pango_layout_get_extents(layout, NULL, &extents);
    return pango_layout_get_line_count(layout) <= text->lines &&
           extents.width <= (box.width + 1e-6) * PANGO_SCALE &&
           extents.height <= (box.height + 1e-6) * PANGO_SCALE;
}

/* Text laid into a box: broken between words, made smaller, at last cut off. */
static PangoLayout *lay_words(struct print *print, const struct print_text *text, struct box box,
                              const char *words)
{
    PangoLayout *layout = pango_cairo_create_layout(print->context);
    double scale = 1;

    pango_context_set_round_glyph_positions(pango_layout_get_context(layout), FALSE);
    pango_layout_set_text(layout, words, -1);
    pango_layout_set_width(layout, (int)(box.width * PANGO_SCALE));
    pango_layout_set_alignment(layout, alignment(text->side));
    pango_layout_set_wrap(layout, PANGO_WRAP_WORD);
    set_letters(layout, text, text->size_mm);
    while (!fits(layout, text, box) && scale > SHRINK_MAX) {
        scale *= SHRINK_STEP;
        set_letters(layout, text, scale * text->size_mm);
    }
    if (!fits(layout, text, box)) {
        pango_layout_set_wrap(layout, PANGO_WRAP_WORD_CHAR);
        pango_layout_set_height(layout, -text->lines);
        pango_layout_set_ellipsize(layout, PANGO_ELLIPSIZE_END);
    }
    return layout;
}

static void show_words(struct print *print, struct paint paint, struct point at,
                       PangoLayout *layout)
{
    set_paint(print, paint);
    cairo_move_to(print->context, at.x, at.y);
    pango_cairo_show_layout(print->context, layout);
    g_object_unref(layout);
}

void print_words(struct print *print, const struct print_text *text, struct box box,
                 const char *words)
{
    show_words(print, text->paint, (struct point){box.x, box.y},
               lay_words(print, text, box, words));
}

void print_words_amid(struct print *print, const struct print_text *text, struct box box,
                      const char *words)
{
    PangoLayout *layout = lay_words(print, text, box, words);
    PangoRectangle extents;

    pango_layout_get_extents(layout, NULL, &extents);
    box.y += (box.height - (double)extents.height / PANGO_SCALE) / 2;
    show_words(print, text->paint, (struct point){box.x, box.y}, layout);
}
