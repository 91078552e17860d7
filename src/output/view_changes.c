#include "html.h"

static void write_change(FILE *out, const struct inventory_change *change)
{
    char made[CALENDAR_TEXT_SIZE], undone[CALENDAR_TEXT_SIZE];

    calendar_format(&change->made, made);
    calendar_format(&change->undone, undone);
    fprintf(out, "<li%s>", undone[0] ? " class=\"undone\"" : "");
    html_text(out, change->told);
    fprintf(out, " <span class=\"quiet\">%.16s%s%.16s</span></li>\n", made,
            undone[0] ? ", taken back " : "", undone);
}

void view_changes(FILE *out, const struct inventory_changes *changes)
{
    fputs("<p><a class=\"button\" href=\"/backup\">Save a copy of the whole inventory</a></p>\n",
          out);
    fputs("<h2>What was changed</h2>\n<ol class=\"changes\">\n", out);
    for (size_t i = 0; i < changes->count; i++)
        write_change(out, &changes->items[i]);
    fputs("</ol>\n", out);
    if (!changes->count)
        fputs("<p>Nothing was changed yet. Readings themselves are always kept as they were "
              "taken.</p>\n",
              out);
}
