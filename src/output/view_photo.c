#include "output/view_photo.h"

#include "analysis/description.h"
#include "html.h"
#include "measurement/words.h"
#include "output/fault_words.h"

#include <string.h>

/* --- photos that came in ---------------------------------------------------------------------- */

static void write_waiting(FILE *out, const struct view_waiting *photo)
{
    fprintf(out,
            "<li><a href=\"/photo?id=%s\"><img src=\"/picture?id=%s\" alt=\"\" loading=\"lazy\">",
            photo->id, photo->id);
    html_text(out, photo->name);
    fprintf(out, "<br><span class=\"quiet\">%s</span></a></li>\n",
            photo->kept ? "kept in the inventory" : "to be looked at");
}

static void write_clearing(FILE *out, const struct view_frame *frame)
{
    fputs("<form method=\"post\" action=\"/photos\" class=\"row\">", out);
    html_form_token(out, frame);
    fputs(
        "<button name=\"do\" value=\"clear-kept\">Clear the photos whose readings are kept</button>"
        "<button name=\"do\" value=\"clear-all\">Clear all photos</button>"
        "<p class=\"quiet\">The photos lie beside the inventory, where only you can read them. "
        "Readings stay when their photo is cleared.</p></form>\n",
        out);
}

void view_photos(FILE *out, const struct view_frame *frame, const struct view_waiting *photos,
                 size_t count)
{
    fprintf(
        out,
        "<div class=\"drop\" data-drop data-token=\"%s\"><p>Drop photos of a chart and its card "
        "here, or choose them: JPEG, PNG, HEIC, TIFF or raw.</p>"
        "<label class=\"button\">Choose photos<input type=\"file\" multiple class=\"unseen\" "
        "accept=\"image/*,.heic,.heif,.dng,.tif,.tiff,.cr2,.cr3,.nef,.arw,.raf,.orf,.rw2\">"
        "</label> <a class=\"button\" href=\"/phone\">From my phone</a>"
        "<ul class=\"coming\" role=\"status\"></ul>"
        "<noscript><p>Photos come in by a script, which this browser does not run. "
        "'woad measure PHOTO' does the same.</p></noscript></div>\n",
        frame->token);
    if (!count)
        return;
    fputs("<ul class=\"photos\">\n", out);
    for (size_t i = 0; i < count; i++)
        write_waiting(out, &photos[i]);
    fputs("</ul>\n", out);
    write_clearing(out, frame);
}

void view_asking(FILE *out, const struct view_frame *frame, const char *id)
{
    fprintf(out,
            "<p>This came from the phone. Is it the photo you meant?</p>\n"
            "<form method=\"post\" action=\"/photo?id=%s\" class=\"row\" "
            "data-slow=\"Reading the photo\">",
            id);
    html_form_token(out, frame);
    fprintf(out,
            "<button class=\"first\" name=\"do\" value=\"accept\">Yes, measure it</button>"
            "<button name=\"do\" value=\"drop\">Clear this photo</button></form>\n"
            "<div class=\"photo\"><img src=\"/picture?id=%s\" alt=\"the photo\"></div>\n",
            id);
}

/* --- the photo, with what was found over it --------------------------------------------------- */

static void write_outline(FILE *out, const struct quad *quad, double scale)
{
    fputs("<polygon points=\"", out);
    for (int i = 0; i < 4; i++)
        fprintf(out, "%s%.1f,%.1f", i ? " " : "", quad->corner[i].x * scale,
                quad->corner[i].y * scale);
    fputs("\"/>", out);
}

static void write_cells_outlines(FILE *out, const struct view_photo *photo)
{
    const struct measured_photo *measured = photo->measured;
    const struct measured_chart *chart = &measured->measurement.charts[0];

    for (int i = 0; photo->cells && i < chart->pose.rows * chart->pose.columns; i++) {
        const struct reading *reading = &chart->readings[i];
        char label[NAMES_LABEL_SIZE];

        names_label(reading->row, reading->column, label);
        fprintf(out, "<a href=\"#cell-%d-%d\" class=\"%s\" aria-label=\"%s\"><title>%s ",
                reading->row, reading->column,
                photo->cells[i].left_out ? "left-out" : words_of_found(reading->found), label,
                label);
        html_text(out, photo->cells[i].ink);
        fputs("</title>", out);
        write_outline(out, &reading->outline, measured->photo.scale);
        fputs("</a>\n", out);
    }
}

static void write_corners_data(FILE *out, const char *name, const struct quad *quad, double scale)
{
    fprintf(out, " data-%s=\"", name);
    for (int i = 0; i < 4; i++)
        fprintf(out, "%s%.1f,%.1f", i ? "," : "", quad->corner[i].x * scale,
                quad->corner[i].y * scale);
    fputc('"', out);
}

static bool has_corners(const struct quad *quad)
{
    return quad->corner[0].x != quad->corner[2].x || quad->corner[0].y != quad->corner[2].y;
}

static void write_picture(FILE *out, const struct view_photo *photo)
{
    const struct measured_photo *measured = photo->measured;
    const struct measurement *measurement = &measured->measurement;
    double scale = measured->photo.scale;

    fprintf(out, "<div class=\"photo\" data-width=\"%d\" data-height=\"%d\"",
            measured->photo.stored_width_px, measured->photo.stored_height_px);
    if (has_corners(&measurement->card.corners))
        write_corners_data(out, "card", &measurement->card.corners, scale);
    if (has_corners(&measurement->charts[0].pose.corners))
        write_corners_data(out, "chart", &measurement->charts[0].pose.corners, scale);
    fprintf(out,
            "><img src=\"/picture?id=%s\" width=\"%d\" height=\"%d\" alt=\"the photo\">"
            "<svg viewBox=\"0 0 %d %d\" role=\"group\" aria-label=\"what was found\">\n",
            photo->id, measured->photo.stored_width_px, measured->photo.stored_height_px,
            measured->photo.stored_width_px, measured->photo.stored_height_px);
    if (has_corners(&measurement->card.corners)) {
        fputs("<g class=\"card\"><title>the card</title>", out);
        write_outline(out, &measurement->card.corners, scale);
        fputs("</g>\n", out);
    }
    write_cells_outlines(out, photo);
    fputs("</svg></div>\n", out);
}

/* --- what is told ----------------------------------------------------------------------------- */

static void write_hidden(FILE *out, const char *name, const char *value)
{
    fprintf(out, "<input type=\"hidden\" name=\"%s\" value=\"", name);
    html_text(out, value);
    fputs("\">", out);
}

static void write_field(FILE *out, const char *name, const char *label, const char *value)
{
    fprintf(out, "<label class=\"field\"><span>%s</span><input name=\"%s\" value=\"", label, name);
    html_text(out, value);
    fputs("\"></label>\n", out);
}

static void write_tick(FILE *out, const char *name, const char *label, bool ticked)
{
    fprintf(out,
            "<label class=\"tick\"><input type=\"checkbox\" name=\"%s\" value=\"1\"%s>%s</label>\n",
            name, ticked ? " checked" : "", label);
}

static void write_told(FILE *out, const struct view_photo *photo)
{
    fputs("<div class=\"row\">\n", out);
    write_field(out, "chart", "Name of the sheet (the same again means the same swatches)",
                photo->chart);
    write_field(out, "batch", "Batch: pad, bottle or re-inking", photo->batch);
    write_field(out, "paper", "Paper", photo->paper);
    write_field(out, "inked_at", "Inked at, as 2026-05-03 10:20", photo->inked_at);
    fputs("</div>\n<details><summary>More to tell</summary>\n<div class=\"row\">\n", out);
    write_field(out, "at", "Photo taken at; else as it says itself", photo->at);
    fprintf(
        out,
        "<label class=\"field\"><span>Card made</span><select name=\"card\"><option value=\"0\">"
        "from November 2014</option><option value=\"1\"%s>before November 2014</option></select>"
        "</label>\n",
        photo->old_card ? " selected" : "");
    write_field(out, "rows", "Rows of cells", photo->rows);
    write_field(out, "columns", "Cells in a row", photo->columns);
    fputs("</div>\n", out);
    write_tick(out, "new", "Names that look like slips of known ones are meant to be new",
               photo->fresh[0] != '\0');
    write_tick(out, "again", "Keep this photo's readings once more", photo->again[0] != '\0');
    fputs("</details>\n", out);
}

static void write_corners(FILE *out, const struct view_photo *photo)
{
    fprintf(out,
            "<details%s data-corners><summary>Corners of card and chart</summary>\n"
            "<p class=\"quiet\">Where they were not found, or wrongly: four corners as X,Y in "
            "pixels of the upright photo, clockwise, the card's from its brown patch, the "
            "chart's from its first cell. Rows and cells in a row have to be told with them."
            "</p>\n<div class=\"row\">\n",
            photo->refusal ? " open" : "");
    write_field(out, "card_at", "Corners of the card", photo->card_at);
    write_field(out, "chart_at", "Corners of the chart", photo->chart_at);
    fputs("</div></details>\n", out);
}

static void write_pasting(FILE *out)
{
    fputs("<details><summary>Paste all names from a spreadsheet</summary>\n"
          "<label class=\"field\"><span>Laid out as the sheet is: a line for each row of cells, an "
          "empty field for a blank cell</span><textarea name=\"pasted\" rows=\"8\"></textarea>"
          "</label>\n<p><button name=\"do\" value=\"lay\">Lay these names on the cells</button></p>"
          "</details>\n",
          out);
}

static void write_names(FILE *out, const struct inventory_inks *inks)
{
    fputs("<datalist id=\"inks\">", out);
    for (size_t i = 0; i < inks->count; i++) {
        fputs("<option value=\"", out);
        html_text(out, inks->items[i].name);
        fputs("\">", out);
    }
    fputs("</datalist>\n", out);
}

/* --- cells ------------------------------------------------------------------------------------ */

static void write_reading(FILE *out, const struct reading *reading)
{
    char words[DESCRIPTION_SIZE], flags[WORDS_FLAGS_SIZE];

    words_of_flags(reading->flags, flags);
    if (reading->found != CELL_INK) {
        fprintf(out, "<p class=\"quiet\">%s</p>\n", words_of_found(reading->found));
        return;
    }
    description_words(reading->lab, words);
    fprintf(out, "<p class=\"quiet\">%s, &#177; %.1f%s%s</p>\n", words, reading->u95,
            flags[0] ? "; " : "", flags);
}

static void write_cell(FILE *out, const struct reading *reading, const struct view_cell *cell)
{
    char label[NAMES_LABEL_SIZE], name[32];
    int row = reading->row, column = reading->column;

    names_label(row, column, label);
    fprintf(out, "<li id=\"cell-%d-%d\"><div>", row, column);
    if (reading->found != CELL_UNREADABLE)
        html_swatch(out, reading->lab);
    fprintf(out,
            "</div><div><label class=\"field\"><span>%s</span><input name=\"ink-%d-%d\" "
            "list=\"inks\" autocomplete=\"off\" value=\"",
            label, row, column);
    html_text(out, cell->ink);
    fputs("\"></label>", out);
    write_reading(out, reading);
    snprintf(name, sizeof name, "wet-%d-%d", row, column);
    write_tick(out, name, "wet", cell->wet);
    snprintf(name, sizeof name, "out-%d-%d", row, column);
    write_tick(out, name, "leave out", cell->left_out);
    fputs("</div></li>\n", out);
}

static void write_cells(FILE *out, const struct view_photo *photo)
{
    const struct measured_chart *chart = &photo->measured->measurement.charts[0];
    int count = chart->pose.rows * chart->pose.columns;

    fprintf(out, "<h2>%d rows of %d cells</h2>\n<ol class=\"cells\">\n", chart->pose.rows,
            chart->pose.columns);
    for (int i = 0; i < count; i++)
        write_cell(out, &chart->readings[i], &photo->cells[i]);
    fputs("</ol>\n", out);
}

/* How many cells hold ink, and how many could not be read. */
static void write_counts(FILE *out, const struct measured_chart *chart)
{
    int found[] = {[CELL_INK] = 0, [CELL_EMPTY] = 0, [CELL_UNREADABLE] = 0};

    for (int i = 0; i < chart->pose.rows * chart->pose.columns; i++)
        found[chart->readings[i].found]++;
    fprintf(out, "; %d cells with ink, %d empty", found[CELL_INK], found[CELL_EMPTY]);
    if (found[CELL_UNREADABLE])
        fprintf(out, ", %d unreadable", found[CELL_UNREADABLE]);
}

/* --- all of it -------------------------------------------------------------------------------- */

static void write_verdict(FILE *out, const struct view_photo *photo)
{
    const struct measurement *measurement = &photo->measured->measurement;
    char words[FAULT_WORDS_SIZE];

    fputs("<p class=\"verdict\">", out);
    if (photo->refusal) {
        fputs("This photo can't be measured: ", out);
        html_text(out, photo->refusal);
    } else {
        fault_words_verdict_line(&measurement->charts[0].faults, words);
        html_text(out, words);
        write_counts(out, &measurement->charts[0]);
    }
    fputs(".</p>\n", out);
    if (photo->measured->photo.traces.exif_missing)
        fputs("<p>The file tells nothing of a camera: it may be a copy that a phone or a messenger "
              "made. If you have the original, take that.</p>\n",
              out);
}

/* Each chart of a photo is told of and kept for itself; printed ones are kept together. */
static void write_charts(FILE *out, const struct view_photo *photo)
{
    const struct chart_pose *pose = &photo->measured->measurement.charts[0].pose;

    if (pose->charts < 2 || photo->measured->sheets.count)
        return;
    fprintf(out,
            "<p>The photo shows %d charts, counted from the left or from above. What is told and "
            "kept here is of number %d.</p>\n<p class=\"row\"><label class=\"field\"><span>"
            "Chart</span><select name=\"which\">",
            pose->charts, pose->number);
    for (int i = 1; i <= pose->charts; i++)
        fprintf(out, "<option%s>%d</option>", i == pose->number ? " selected" : "", i);
    fputs("</select></label><button name=\"do\" value=\"other-chart\">Go to that chart</button>"
          "</p>\n",
          out);
}

static void write_turning(FILE *out, const struct view_photo *photo)
{
    if (photo->cells)
        fputs(
            "<p class=\"row\"><button name=\"do\" value=\"half-turn\">The sheet lies upside down"
            "</button><button name=\"do\" value=\"quarter-turn\">Turn by a quarter</button></p>\n",
            out);
}

static void write_deeds(FILE *out, const struct view_photo *photo)
{
    fputs("<p class=\"row deeds\">", out);
    if (photo->cells && !photo->kept)
        fputs("<button class=\"first\" name=\"do\" value=\"keep\">Keep these readings</button>",
              out);
    if (photo->kept)
        fputs("<button name=\"do\" value=\"forget\">Take these readings out again</button>", out);
    else
        fputs("<button name=\"do\" value=\"look\">Read it again as told</button>", out);
    fputs("<button name=\"do\" value=\"drop\">Clear this photo</button></p>\n", out);
}

/* What is sent on with the form, unseen. */
static void write_unseen(FILE *out, const struct view_photo *photo)
{
    const struct quad *corners = &photo->measured->measurement.charts[0].pose.corners;
    double scale = photo->measured->photo.scale;
    char text[160];
    int length = 0;

    for (int i = 0; i < 4; i++)
        length += snprintf(text + length, sizeof text - (size_t)length, "%s%.1f,%.1f", i ? "," : "",
                           corners->corner[i].x * scale, corners->corner[i].y * scale);
    write_hidden(out, "found_chart", has_corners(corners) ? text : "");
    write_hidden(out, "name", photo->name);
    write_hidden(out, "came", photo->came);
    write_hidden(out, "changed", photo->changed);
    write_hidden(out, "laid", photo->laid);
}

void view_photo(FILE *out, const struct view_frame *frame, const struct view_photo *photo)
{
    fprintf(out, "<form method=\"post\" action=\"/photo?id=%s\" data-slow=\"Reading the photo\">\n",
            photo->id);
    html_form_token(out, frame);
    /* what Enter in a field does */
    fputs(
        "<button class=\"unseen\" name=\"do\" value=\"look\" tabindex=\"-1\" aria-hidden=\"true\">"
        "</button>\n",
        out);
    write_unseen(out, photo);
    write_verdict(out, photo);
    if (photo->measured->photo.image.samples)
        write_picture(out, photo);
    write_charts(out, photo);
    write_turning(out, photo);
    write_corners(out, photo);
    write_told(out, photo);
    write_pasting(out);
    write_names(out, photo->inks);
    if (photo->cells)
        write_cells(out, photo);
    write_deeds(out, photo);
    fputs("</form>\n", out);
}
