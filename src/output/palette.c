#include "output/palette.h"

#include "base/memory.h"
#include "html.h"
#include "palette_cgats.h"

#include <ctype.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#define TILE_PX 48
#define TILES_IN_A_ROW 10
#define ROW_PX 62 /* a tile with its name below */
#define LETTERS_PX 6

/* The inks in colour order, as a screen shows them. */
struct palette {
    const struct range_ink **inks;
    struct screen_colour *shown;
    size_t count;
};

static enum status palette_create(const struct ordered_range *ordered, struct palette *palette,
                                  struct error *error)
{
    size_t count = ordered->measured.count;
    struct lab *labs = memory_array(count + 1, sizeof *labs, "the palette", error);

    palette->count = count;
    palette->inks = memory_array(count + 1, sizeof *palette->inks, "the palette", error);
    palette->shown = memory_array(count + 1, sizeof *palette->shown, "the palette", error);
    if (!labs || !palette->inks || !palette->shown) {
        free(labs);
        return error->status;
    }
    for (size_t i = 0; i < count; i++) {
        palette->inks[i] = &ordered->measured.inks[ordered->order.inks[i]];
        labs[i] = palette->inks[i]->lab;
    }
    colour_on_screen(labs, (int)count, palette->shown);
    free(labs);
    return STATUS_OK;
}

static void palette_release(struct palette *palette)
{
    free(palette->inks);
    free(palette->shown);
}

/* --- GIMP palette ----------------------------------------------------------------------------- */

static void write_gpl(const struct palette *palette, FILE *out)
{
    fputs("GIMP Palette\nName: woad\nColumns: 10\n"
          "# An ink whose name ends in * is more vivid than sRGB shows.\n",
          out);
    for (size_t i = 0; i < palette->count; i++) {
        const double *srgb = palette->shown[i].srgb.channel;

        fprintf(out, "%3ld %3ld %3ld\t%s%s\n", lround(255 * srgb[0]), lround(255 * srgb[1]),
                lround(255 * srgb[2]), palette->inks[i]->name, palette->shown[i].shown ? "" : " *");
    }
}

/* --- style sheet ------------------------------------------------------------------------------ */

/* An ink's name as a variable's: letters in lower case, what none may hold a hyphen. Source: CSS
 * Syntax 3, section 4.2: bytes beyond ASCII may stand. */
static void variable_of(const char *name, char variable[RANGE_NAME_SIZE])
{
    size_t length = 0;

    for (; *name && length + 1 < RANGE_NAME_SIZE; name++) {
        unsigned char code = (unsigned char)*name;

        variable[length++] = code >= 0x80 || isalnum(code) ? (char)tolower(code) : '-';
    }
    variable[length] = '\0';
}

/* Where an ink before has the same, it is told apart by its place. */
static void write_variable(const struct palette *palette, size_t ink, FILE *out)
{
    char variable[RANGE_NAME_SIZE], other[RANGE_NAME_SIZE];
    bool taken = false;

    variable_of(palette->inks[ink]->name, variable);
    for (size_t i = 0; i < ink && !taken; i++) {
        variable_of(palette->inks[i]->name, other);
        taken = strcmp(variable, other) == 0;
    }
    fprintf(out, "--ink-%s", variable);
    if (taken)
        fprintf(out, "-place-%zu", ink + 1);
}

static void write_css(const struct palette *palette, FILE *out)
{
    fputs("/* Inks in colour order. lab() is as measured; where a browser has none, sRGB. */\n"
          ":root {\n",
          out);
    for (size_t i = 0; i < palette->count; i++) {
        fputs("  ", out);
        write_variable(palette, i, out);
        fputs(": ", out);
        html_hexadecimal(out, &palette->shown[i].srgb);
        fputs(palette->shown[i].shown ? ";\n" : "; /* clipped */\n", out);
    }
    fputs("}\n@supports (color: lab(50% 0 0)) {\n  :root {\n", out);
    for (size_t i = 0; i < palette->count; i++) {
        struct lab lab = palette->inks[i]->lab;

        fputs("    ", out);
        write_variable(palette, i, out);
        fprintf(out, ": lab(%.2f%% %.2f %.2f);\n", lab.L, lab.a, lab.b);
    }
    fputs("  }\n}\n", out);
}

/* --- drawing ---------------------------------------------------------------------------------- */

static void write_tile(const struct palette *palette, size_t ink, FILE *out)
{
    size_t x = TILE_PX * (ink % TILES_IN_A_ROW), y = ROW_PX * (ink / TILES_IN_A_ROW);
    const char *name = palette->inks[ink]->name;

    fprintf(out, "<g><title>");
    html_text(out, name);
    fprintf(out, "%s</title><rect x=\"%zu\" y=\"%zu\" width=\"%d\" height=\"%d\" fill=\"",
            palette->shown[ink].shown ? "" : " *", x + 1, y + 1, TILE_PX - 2, TILE_PX - 2);
    html_hexadecimal(out, &palette->shown[ink].srgb);
    fprintf(out, "\"/><text x=\"%zu\" y=\"%zu\"", x + TILE_PX / 2, y + TILE_PX + LETTERS_PX);
    if (strlen(name) > 2 * TILE_PX / LETTERS_PX) /* a letter is half as wide as high, or so */
        fprintf(out, " textLength=\"%d\" lengthAdjust=\"spacingAndGlyphs\"", TILE_PX - 2);
    fputs(">", out);
    html_text(out, name);
    fputs("</text></g>\n", out);
}

static void write_svg(const struct palette *palette, FILE *out)
{
    size_t rows = (palette->count + TILES_IN_A_ROW - 1) / TILES_IN_A_ROW;
    int width = TILE_PX * TILES_IN_A_ROW, height = (int)(ROW_PX * rows);

    fprintf(out,
            "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n"
            "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"%d\" height=\"%d\" "
            "viewBox=\"0 0 %d %d\" font-family=\"sans-serif\" font-size=\"%d\" "
            "text-anchor=\"middle\">\n"
            "<desc>Inks in colour order, sRGB; * more vivid than shown.</desc>\n",
            width, height, width, height, LETTERS_PX);
    for (size_t i = 0; i < palette->count; i++)
        write_tile(palette, i, out);
    fputs("</svg>\n", out);
}

/* --- all of them ------------------------------------------------------------------------------ */

static const struct {
    const char *word;
    void (*write)(const struct palette *palette, FILE *out); /* NULL: through lcms2 */
} formats[] = {
    [PALETTE_GPL] = {"gpl", write_gpl},
    [PALETTE_CSS] = {"css", write_css},
    [PALETTE_SVG] = {"svg", write_svg},
    [PALETTE_CGATS] = {"cgats", NULL},
};

bool palette_format_of(const char *word, enum palette_format *format)
{
    for (int i = PALETTE_GPL; i <= PALETTE_CGATS; i++)
        if (strcmp(word, formats[i].word) == 0) {
            *format = (enum palette_format)i;
            return true;
        }
    return false;
}

enum status palette_write(const struct ordered_range *ordered, enum palette_format format,
                          FILE *out, struct error *error)
{
    struct palette palette = {NULL, NULL, 0};
    enum status status;

    if (!formats[format].write)
        return palette_cgats_write(ordered, out, error);
    status = palette_create(ordered, &palette, error);
    if (!status)
        formats[format].write(&palette, out);
    palette_release(&palette);
    return status;
}
