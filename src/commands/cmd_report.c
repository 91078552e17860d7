#include "commands.h"
#include "values/calendar.h"
#include "notes.h"
#include "output/report.h"

#include <string.h>
#include <strings.h>

struct report_settings {
    const char *title;
    struct photo_time date;
    const char *families;
    const char *inventory;
};

static const struct option report_options[] = {
    OPTION(struct report_settings, title, "title", "TEXT", "what stands at the top"),
    OPTION(struct report_settings, date, "date", "TIME",
           "the day it is dated with; today if not told"),
    OPTION(struct report_settings, families, "families", "FILE.csv",
           "your own families, 'ink,family' a line; else as measured"),
    COMMANDS_INVENTORY_OPTION(struct report_settings),
    {0}};

static enum status check_ending(const char *path, struct error *error)
{
    const char *ending = strrchr(path, '.');

    if (ending && (strcasecmp(ending, ".html") == 0 || strcasecmp(ending, ".htm") == 0))
        return STATUS_OK;
    return error_set(error, STATUS_USAGE,
                     "%s: a report is a page for the browser; give the file the ending .html",
                     path);
}

static enum status report(const struct report_settings *settings, const char *path,
                          struct error *error)
{
    char day[CALENDAR_TEXT_SIZE];
    const struct report_about about = {settings->title ? settings->title : "The range", day};
    struct overview overview = {0};
    enum status status = check_ending(path, error);

    calendar_date(&settings->date, day);
    if (!status)
        status = overview_load(settings->inventory, settings->families, SIZE_MAX, &overview, error);
    for (size_t i = 0; !status && i < overview.count; i++)
        status = overview_find_standins(&overview, i, error);
    if (!status) {
        notes_of_range(&overview.ordered.measured, stderr);
        status = report_write(path, &overview, &about, error);
    }
    overview_release(&overview);
    return status;
}

static int run_report(const struct command *command, int count, char **words)
{
    struct report_settings settings = {0};
    struct error error;
    enum status status = options_parse(command, &count, words, &settings, &error);

    if (!status)
        status = report(&settings, words[0], &error);
    return commands_report(status, &error);
}

const struct command command_report = {
    .name = "report",
    .operands = "FILE.html",
    .summary = "the range as one page for the browser, to look at or to share",
    .options = report_options,
    .operands_minimum = 1,
    .operands_maximum = 1,
    .run = run_report,
};
