#include "output/view_answers.h"

#include "html.h"
#include "output/sheets.h"

void view_sheets(FILE *out)
{
    size_t count = 0;
    const struct inventory_stock *stocks = sheet_label_stocks(&count);

    fputs("<h2>The range as a wall</h2>\n<p>All inks in colour order with their names and numbers, "
          "to "
          "hang up or hand out.</p>\n<form class=\"row\" action=\"/sheet\"><input type=\"hidden\" "
          "name=\"kind\" value=\"range\"><label class=\"field\"><span>Paper</span><select "
          "name=\"page\"><option value=\"a4\">A4</option><option value=\"a5\">A5</option><option "
          "value=\"letter\">Letter</option></select></label><button>Save as PDF</button></form>\n"
          "<h2>Labels</h2>\n<p>For pads, brushes and holders: the name of each ink, and its colour "
          "if "
          "it is known.</p>\n<form class=\"row\" action=\"/sheet\"><input type=\"hidden\" "
          "name=\"kind\" value=\"labels\"><label class=\"field\"><span>Labels, by their measures"
          "</span><select name=\"stock\">",
          out);
    for (size_t i = 0; i < count; i++) {
        fprintf(out, "<option value=\"%zu\">", i);
        html_text(out, stocks[i].name);
        fputs("</option>", out);
    }
    fputs(
        "</select></label><button>Save as PDF</button></form>\n<p class=\"quiet\">Print at 100 %, "
        "without 'fit to page'. Charts, stencils and strips are printed with 'woad sheet'.</p>\n",
        out);
}
