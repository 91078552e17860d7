#include "html.h"
#include "output/assets.h"

#include <string.h>

/* The views, by the names they go by. */
static const struct {
    const char *address, *name;
} ways[] = {
    {"/", "Range"},          {"/photos", "Photos"},         {"/batches", "Batches"},
    {"/buy", "What to buy"}, {"/blends", "Blends"},         {"/maps", "Maps"},
    {"/sheets", "Sheets"},   {"/history", "Setting right"},
};

static void write_ways(FILE *out, const struct view_frame *frame)
{
    fputs("<nav aria-label=\"Views\"><ul>\n", out);
    for (size_t i = 0; i < sizeof ways / sizeof *ways; i++)
        fprintf(out, "<li><a href=\"%s\"%s>%s</a></li>\n", ways[i].address,
                frame->here && strcmp(frame->here, ways[i].address) == 0 ? " aria-current=\"page\""
                                                                         : "",
                ways[i].name);
    fputs("</ul></nav>\n", out);
}

static void write_style(FILE *out, const struct view_frame *frame)
{
    const struct asset *style = asset_find("style.css");

    if (frame->served) {
        fputs("<link rel=\"stylesheet\" href=\"/style.css\">\n"
              "<link rel=\"icon\" href=\"/icon.svg\">\n"
              "<script src=\"/page.js\" defer></script>\n",
              out);
        return;
    }
    fputs("<style>", out);
    fwrite(style->bytes, 1, style->length, out);
    fputs("</style>\n", out);
}

static void write_notices(FILE *out, const struct view_frame *frame)
{
    if (frame->notice) {
        fputs("<p class=\"notice\" role=\"status\">", out);
        html_text(out, frame->notice);
        fputs("</p>\n", out);
    }
    if (frame->served)
        fputs("<p class=\"notice\" id=\"changed\" role=\"status\" hidden>The inventory has changed "
              "since this was shown. <a href=\"\">Look again</a></p>\n",
              out);
}

void view_begin(FILE *out, const struct view_frame *frame)
{
    fputs("<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n"
          "<meta name=\"viewport\" content=\"width=device-width,initial-scale=1\">\n<title>",
          out);
    html_text(out, frame->title);
    fputs("</title>\n", out);
    write_style(out, frame);
    fputs("</head>\n<body", out);
    if (frame->revision) {
        fputs(" data-revision=\"", out);
        html_text(out, frame->revision);
        fputc('"', out);
    }
    fputs(">\n", out);
    if (frame->served) {
        fputs("<a class=\"skip\" href=\"#main\">To the content</a>\n", out);
        write_ways(out, frame);
    }
    fputs("<header>\n<h1>", out);
    html_text(out, frame->title);
    fputs("</h1>\n", out);
    if (frame->remark) {
        fputs("<p class=\"quiet\">", out);
        html_text(out, frame->remark);
        fputs("</p>\n", out);
    }
    fputs("</header>\n", out);
    write_notices(out, frame);
    fputs("<main id=\"main\">\n", out);
}

static void write_undo(FILE *out, const struct view_frame *frame)
{
    fputs("<form method=\"post\" action=\"/undo\">", out);
    html_form_token(out, frame);
    fputs("<button>Take back the last change</button> <span class=\"quiet\">", out);
    html_text(out, frame->undo);
    fputs("</span></form>\n", out);
}

void view_end(FILE *out, const struct view_frame *frame)
{
    fputs("</main>\n", out);
    if (frame->served && (frame->undo || frame->command)) {
        fputs("<footer>\n", out);
        if (frame->undo)
            write_undo(out, frame);
        if (frame->command) {
            fputs("<details><summary>The same as a command line</summary><code>", out);
            html_text(out, frame->command);
            fputs("</code></details>\n", out);
        }
        fputs("</footer>\n", out);
    }
    fputs("</body>\n</html>\n", out);
}

void view_message(FILE *out, const char *message)
{
    fputs("<p>", out);
    html_text(out, message);
    fputs("</p>\n", out);
}
