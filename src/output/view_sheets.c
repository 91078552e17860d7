#include "output/view_sheets.h"

#include "analysis/combination.h"
#include "html.h"
#include "output/sheets.h"

#include <string.h>
#include <strings.h>

/* What each kind can be asked with. */
enum asking {
    ASK_NAMES = 1,
    ASK_PAGE = 2,
    ASK_CELLS = 4,
    ASK_COPIES = 8,
    ASK_SPARE = 16,
    ASK_NUMBER = 32,
    ASK_LABELS = 64,
    ASK_BACKS = 128,
    ASK_INKS = 256,
    ASK_TITLE = 512
};

static const struct kind {
    const char *kind, *name, *words;
    unsigned asks;
    const char *nothing; /* what to do where there is nothing to print */
} kinds[] = {
    {"chart", "Chart",
     "Cells with the names of the inks, to swatch in and to photograph. Marks at its corners tell "
     "woad which ink lies where, so no name has to be typed.",
     ASK_NAMES | ASK_PAGE | ASK_CELLS | ASK_COPIES | ASK_SPARE | ASK_TITLE,
     "No ink is known yet: write the names of those you have above, a line for each."},
    {"window", "Stencil",
     "A sheet with holes for a chart's cells, cut out of thin card: it keeps the swatches' edges "
     "clean. Cut along a steel rule, away from the hand that holds it.",
     ASK_PAGE | ASK_CELLS | ASK_NUMBER, ""},
    {"strip", "Strips",
     "Combinations to blend: each with its inks, the shares between them and how they may look.",
     ASK_PAGE | ASK_BACKS | ASK_INKS | ASK_TITLE,
     "Name the inks of one combination above, or log what you made under Blends."},
    {"labels", "Labels",
     "For pads, brushes and holders: the name of each ink, and its colour if it is known.",
     ASK_NAMES | ASK_LABELS | ASK_COPIES,
     "No ink is known yet: write the names of those you have above, a line for each."},
    {"range", "The range as a wall",
     "All inks in colour order with their names and numbers, to hang up or hand out.",
     ASK_PAGE | ASK_TITLE, "No ink is known yet: a photo of a sheet brings them."},
    {"test", "A printer's test page",
     "Shows whether your printer shrinks or shifts what it prints. 'woad printer' keeps what you "
     "measure on it under the printer's name.",
     ASK_PAGE | ASK_BACKS, ""},
};

static const struct kind *kind_of(const struct sheet_job *job)
{
    for (size_t i = 0; i < sizeof kinds / sizeof *kinds; i++)
        if (strcmp(kinds[i].kind, job->kind) == 0)
            return &kinds[i];
    return &kinds[0];
}

static void write_kinds(FILE *out, const struct kind *here)
{
    fputs("<nav aria-label=\"Sheets\"><ul>\n", out);
    for (size_t i = 0; i < sizeof kinds / sizeof *kinds; i++)
        fprintf(out, "<li><a href=\"/sheets?kind=%s\"%s>%s</a></li>\n", kinds[i].kind,
                &kinds[i] == here ? " aria-current=\"page\"" : "", kinds[i].name);
    fputs("</ul></nav>\n", out);
}

/* --- fields ----------------------------------------------------------------------------------- */

static void write_number(FILE *out, const char *name, const char *label, int value, int most)
{
    fprintf(out,
            "<label class=\"field\"><span>%s</span><input type=\"number\" name=\"%s\" min=\"0\" "
            "max=\"%d\" value=\"%.0d\"></label>\n",
            label, name, most, value);
}

static void write_text(FILE *out, const char *name, const char *label, const char *value)
{
    fprintf(out, "<label class=\"field\"><span>%s</span><input name=\"%s\" value=\"", label, name);
    html_text(out, value ? value : "");
    fputs("\"></label>\n", out);
}

static void write_tick(FILE *out, const char *name, const char *label, bool ticked)
{
    fprintf(out,
            "<label class=\"tick\"><input type=\"checkbox\" name=\"%s\" value=\"1\"%s>%s</label>\n",
            name, ticked ? " checked" : "", label);
}

static void write_option(FILE *out, const char *value, const char *words, const char *chosen)
{
    fputs("<option value=\"", out);
    html_text(out, value);
    fprintf(out, "\"%s>", chosen && strcasecmp(chosen, value) == 0 ? " selected" : "");
    html_text(out, words);
    fputs("</option>", out);
}

static void begin_choice(FILE *out, const char *name, const char *label)
{
    fprintf(out, "<label class=\"field\"><span>%s</span><select name=\"%s\">", label, name);
}

static void end_choice(FILE *out)
{
    fputs("</select></label>\n", out);
}

static void write_page(FILE *out, const struct sheet_job *job)
{
    begin_choice(out, "page", "Paper");
    write_option(out, "a4", "A4", job->page);
    write_option(out, "a5", "A5", job->page);
    write_option(out, "letter", "Letter", job->page);
    end_choice(out);
    write_tick(out, "landscape", "on its long side", job->landscape);
}

static void write_stocks(FILE *out, const struct view_sheet *sheet)
{
    size_t count;
    const struct inventory_stock *built_in = sheet_label_stocks(&count);

    begin_choice(out, "stock", "Labels: yours, or by their measures");
    for (size_t i = 0; i < sheet->setups->stock_count; i++)
        write_option(out, sheet->setups->stocks[i].name, sheet->setups->stocks[i].name,
                     sheet->job->stock);
    for (size_t i = 0; i < count; i++)
        write_option(out, built_in[i].name, built_in[i].name,
                     sheet->job->stock ? sheet->job->stock : SHEET_STOCK_USUAL);
    end_choice(out);
    write_number(out, "start", "First label of a page begun before", sheet->job->start,
                 SHEET_START_MAX);
    write_tick(out, "plain", "names alone", sheet->job->plain);
    write_tick(out, "outlined", "with edges, to cut by", sheet->job->outlined);
}

static void write_printers(FILE *out, const struct view_sheet *sheet)
{
    if (!sheet->setups->printer_count)
        return;
    begin_choice(out, "printer", "Printer, to make up for what it does");
    write_option(out, "", "any", "");
    for (size_t i = 0; i < sheet->setups->printer_count; i++)
        write_option(out, sheet->setups->printers[i].name, sheet->setups->printers[i].name,
                     sheet->job->printer);
    end_choice(out);
}

static void write_inks(FILE *out, const struct view_sheet *sheet)
{
    fputs("<datalist id=\"inks\">", out);
    for (size_t i = 0; i < sheet->inks->count; i++)
        write_option(out, sheet->inks->items[i].name, "", NULL);
    fputs("</datalist>\n<fieldset class=\"row\"><legend>One combination; left empty, all that you "
          "logged under Blends</legend>\n",
          out);
    for (int i = 0; i < COMBINATION_MOST; i++) {
        fprintf(out,
                "<label class=\"field\"><span>%s</span><input name=\"ink%d\" list=\"inks\" "
                "autocomplete=\"off\" value=\"",
                i ? "then" : "first", i + 1);
        html_text(out, i < sheet->job->ink_count ? sheet->job->inks[i] : "");
        fputs("\"></label>\n", out);
    }
    fputs("</fieldset>\n", out);
}

static void write_names(FILE *out, const struct view_sheet *sheet)
{
    fprintf(out,
            "<details%s><summary>Names of your own, instead of the range in colour order</summary>"
            "<label class=\"field\"><span>A line for each; may be pasted from a spreadsheet</span>"
            "<textarea name=\"names\" rows=\"8\">\n",
            sheet->names[0] || sheet->nothing ? " open" : "");
    html_text(out, sheet->names);
    fputs("</textarea></label></details>\n", out);
}

static void write_cells(FILE *out, const struct sheet_job *job)
{
    write_number(out, "rows", "Rows; else as many as fit", job->rows, NAMES_SIDE_MAX);
    write_number(out, "columns", "Cells in a row", job->columns, NAMES_SIDE_MAX);
    write_number(out, "cell", "A cell's side, mm", (int)job->cell_mm, SHEET_CELL_MM_MAX);
    write_text(out, "card", "Place for the card, mm, as 110x65", job->card_place);
}

/* --- all of it -------------------------------------------------------------------------------- */

static void write_fields(FILE *out, const struct view_sheet *sheet, const struct kind *kind)
{
    const struct sheet_job *job = sheet->job;

    if (kind->asks & ASK_PAGE)
        write_page(out, job);
    if (kind->asks & ASK_LABELS)
        write_stocks(out, sheet);
    write_printers(out, sheet);
    if (kind->asks & ASK_TITLE)
        write_text(out, "title", "What stands at the top", job->title);
    if (kind->asks & ASK_CELLS)
        write_cells(out, job);
    if (kind->asks & ASK_NUMBER)
        write_number(out, "number", "For the printed chart of this number", job->number,
                     TAG_SHEETS - 1);
    if (kind->asks & ASK_COPIES)
        write_number(out, "copies", "Of each ink", job->copies, SHEET_COPIES_MAX);
    if (kind->asks & ASK_SPARE)
        write_number(out, "spare", "Blank cells behind each family", job->spare, SHEET_SPARE_MAX);
    if (kind->asks & ASK_BACKS)
        write_tick(out, "duplex", "print the pages' backs too, turned over the long edge",
                   job->duplex);
    if (kind->asks & ASK_INKS)
        write_inks(out, sheet);
}

static void write_saving(FILE *out, const struct view_frame *frame, const struct view_sheet *sheet)
{
    fputs("<form method=\"post\" class=\"row\" action=\"/sheet?", out);
    html_text(out, sheet->query);
    fputs("\">", out);
    html_form_token(out, frame);
    fputs("<button class=\"first\">Save as PDF</button></form>\n"
          "<p class=\"quiet\">Print at 100 %, without 'fit to page'. A chart or a page of strips "
          "gets its number when it is saved.</p>\n"
          "<img class=\"sheet\" src=\"/sheet-picture?",
          out);
    html_text(out, sheet->query);
    fputs(
        "\" alt=\"the first page, small; if there is none to be seen, 'Save as PDF' says why\">\n",
        out);
}

void view_sheets(FILE *out, const struct view_frame *frame, const struct view_sheet *sheet)
{
    const struct kind *kind = kind_of(sheet->job);

    write_kinds(out, kind);
    fprintf(out,
            "<p>%s</p>\n<form action=\"/sheets\"><input type=\"hidden\" name=\"kind\" "
            "value=\"%s\"><div class=\"row\">\n",
            kind->words, kind->kind);
    write_fields(out, sheet, kind);
    fputs("</div>\n", out);
    if (kind->asks & ASK_NAMES)
        write_names(out, sheet);
    fputs("<p><button>Show it so</button></p></form>\n", out);
    if (sheet->nothing)
        fprintf(out, "<p class=\"notice\">%s</p>\n", kind->nothing);
    else
        write_saving(out, frame, sheet);
}
