#include "output/report.h"

#include "files/whole_file.h"
#include "output/views.h"

#include <string.h>

static void write_report(FILE *out, const struct overview *overview,
                         const struct report_about *about)
{
    char remark[200];
    const struct view_frame frame = {.title = about->title, .remark = remark};

    snprintf(
        remark, sizeof remark,
        "%.60s. %zu inks with a colour, %zu without. Screens and printers show colours nearly; "
        "the numbers are what was measured.",
        about->date, overview->count, overview->ordered.measured.without);
    view_begin(out, &frame);
    view_wall(out, &frame, overview, NULL);
    if (overview->count)
        fputs("<h2>Ink by ink</h2>\n", out);
    for (size_t i = 0; i < overview->count; i++)
        view_ink(out, &frame, overview, i);
    view_end(out, &frame);
}

enum status report_write(const char *path, const struct overview *overview,
                         const struct report_about *about, struct error *error)
{
    struct whole_file file;
    enum status status = whole_file_begin(path, &whole_file_html, &file, error);

    if (status)
        return status;
    write_report(file.stream, overview, about);
    if (ferror(file.stream))
        status = error_set(error, STATUS_FILE, "%s: can't be written: check the disk's free space",
                           path);
    return whole_file_end(&file, status, error);
}
