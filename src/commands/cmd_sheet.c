#include "commands.h"
#include "files/names.h"
#include "location/tag.h"
#include "output/sheet_job.h"

#include <string.h>

struct sheet_settings {
    struct option_words names;
    const char *inventory;
    struct sheet_job job;
};

static const struct option sheet_options[] = {
    OPTION_TIMES(struct sheet_settings, names, OPTION_WORDS_MAX, "names", "FILE.csv",
                 "the inks, a field for each cell, instead of the range in colour order"),
    OPTION(struct sheet_settings, job.page, "page", "SIZE",
           "a4, a5, letter, or WIDTHxHEIGHT in mm; a4 if not told; labels come on their own"),
    OPTION_SWITCH(struct sheet_settings, job.landscape, "landscape",
                  "the page lies on its long side"),
    OPTION_BETWEEN(struct sheet_settings, job.rows, 1, NAMES_SIDE_MAX, "rows", "N",
                   "chart, window, strip: rows of cells; as many as fit if not told"),
    OPTION_BETWEEN(struct sheet_settings, job.columns, 1, NAMES_SIDE_MAX, "columns", "N",
                   "chart, window: cells in a row; as many as fit if not told"),
    OPTION_BETWEEN(struct sheet_settings, job.cell_mm, SHEET_CELL_MM_MIN, SHEET_CELL_MM_MAX, "cell",
                   "MM", "chart, window: a cell's side; 22 if not told"),
    OPTION_BETWEEN(struct sheet_settings, job.copies, 1, SHEET_COPIES_MAX, "copies", "N",
                   "chart, labels: cells for each ink, for later batches"),
    OPTION_BETWEEN(struct sheet_settings, job.spare, 0, SHEET_SPARE_MAX, "spare", "N",
                   "chart: blank cells behind each family"),
    OPTION(struct sheet_settings, job.card_place, "card-place", "WIDTHxHEIGHT",
           "chart, window: keep a place for the card, in mm"),
    OPTION(struct sheet_settings, job.title, "title", "TEXT", "what stands at the top"),
    OPTION(struct sheet_settings, job.date, "date", "TIME",
           "the day it is dated with; today if not told"),
    OPTION_BETWEEN(struct sheet_settings, job.number, 1, TAG_SHEETS - 1, "number", "N",
                   "window: of the printed sheet that has this number"),
    OPTION(struct sheet_settings, job.stock, "stock", "NAME",
           "labels: a kind of 'woad stock', by its measures or its name; " SHEET_STOCK_USUAL
           " if not told"),
    OPTION_BETWEEN(struct sheet_settings, job.start, 1, SHEET_START_MAX, "start", "N",
                   "labels: the first label to use of a page begun before"),
    OPTION_SWITCH(struct sheet_settings, job.plain, "plain",
                  "labels: names alone, without colours"),
    OPTION_SWITCH(struct sheet_settings, job.outlined, "outlined",
                  "labels: draw their edges, to cut by or to try a printer"),
    OPTION_SWITCH(struct sheet_settings, job.duplex, "duplex",
                  "strip, test: print the pages' backs too, turned over the long edge"),
    OPTION(struct sheet_settings, job.printer, "printer", "NAME",
           "make up for what 'woad printer' keeps of it"),
    COMMANDS_INVENTORY_OPTION(struct sheet_settings),
    {0}};

static void note_printed(const char *path, const struct sheet_made *made)
{
    if (!made->first_number)
        return;
    fprintf(stderr, "woad: %s: %d x %d cells, sheet %d", path, made->rows, made->columns,
            made->first_number);
    if (made->last_number > made->first_number)
        fprintf(stderr, " to %d", made->last_number);
    fputs("; print at 100 %, not fitted to the page\n", stderr);
}

static enum status print_sheet(struct sheet_settings *settings, int count, char **words,
                               struct error *error)
{
    struct sheet_job *job = &settings->job;
    struct sheet_made made;
    enum status status;

    job->kind = words[0];
    job->inventory = settings->inventory;
    job->names = settings->names.words;
    job->names_count = settings->names.count;
    job->inks = words + 2;
    job->ink_count = count - 2;
    if (count > 2 && strcmp(job->kind, "strip") != 0)
        return error_set(error, STATUS_USAGE, "'%.60s' is one word too many after the file",
                         words[2]);
    status = sheet_job_write(job, words[1], &made, error);
    if (!status)
        note_printed(words[1], &made);
    return status;
}

static int run_sheet(const struct command *command, int count, char **words)
{
    struct sheet_settings settings = {.job = {.copies = 1}};
    struct error error;
    enum status status = options_parse(command, &count, words, &settings, &error);

    if (!status)
        status = print_sheet(&settings, count, words, &error);
    return commands_report(status, &error);
}

const struct command command_sheet = {
    .name = "sheet",
    .operands = "chart|window|labels|range|strip|test FILE.pdf [INK...]",
    .summary =
        "pages to print: charts that photos are read by, stencils, labels, strips, the range",
    .options = sheet_options,
    .operands_minimum = 2,
    .operands_maximum = -1,
    .run = run_sheet,
};
