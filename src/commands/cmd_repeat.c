#include "analysis/repeat.h"
#include "base/memory.h"
#include "commands.h"
#include "files/names.h"
#include "files/photo.h"
#include "measurement/measurement.h"
#include "output/rows.h"

#include <stdlib.h>
#include <string.h>

#define PHOTOS_MAX 100

struct repeat_settings {
    const char *names;
    const char *card;
    int rows;
    int columns;
    enum table_format format;
};

static const struct option repeat_options[] = {
    OPTION(struct repeat_settings, names, "names", "FILE.csv",
           "the ink names, laid out as on the sheet"),
    OPTION(struct repeat_settings, card, "card", "FILE",
           "the card's values (CGATS text), or the name of an edition"),
    OPTION_BETWEEN(struct repeat_settings, rows, 1, CHART_ROWS_MAX, "rows", "N",
                   "how many rows of cells the sheet has"),
    OPTION_BETWEEN(struct repeat_settings, columns, 1, CHART_COLUMNS_MAX, "columns", "N",
                   "how many cells a row has"),
    COMMANDS_FORMAT_OPTION(struct repeat_settings),
    {0}};

/* The sheet in all photos; rows and columns are 0 until the first is read. */
struct sheet {
    struct card card;
    struct names names;
    bool *named;
    int rows;
    int columns;
    size_t photos;
    struct repeat_reading *readings; /* photos x rows x columns */
};

static size_t cells_of(const struct sheet *sheet)
{
    return (size_t)sheet->rows * (size_t)sheet->columns;
}

static enum status read_names(const struct repeat_settings *settings, struct sheet *sheet,
                              struct error *error)
{
    size_t count;
    enum status status;

    sheet->rows = settings->rows;
    sheet->columns = settings->columns;
    if (!settings->names)
        return STATUS_OK;
    status = names_read(settings->names, &sheet->names, error);
    if (status)
        return status;
    sheet->rows = sheet->names.rows;
    sheet->columns = sheet->names.columns;
    count = cells_of(sheet);
    sheet->named = memory_array(count, sizeof *sheet->named, "the named cells", error);
    if (!sheet->named)
        return error->status;
    for (size_t i = 0; i < count; i++)
        sheet->named[i] = sheet->names.cells[i].ink[0] != '\0';
    return STATUS_OK;
}

/* --- the photos --- */

static enum status check_counts(const struct sheet *sheet, const char *path,
                                const struct measurement *measurement, struct error *error)
{
    const struct chart_pose *chart = &measurement->charts[0].pose;

    if ((!sheet->rows || sheet->rows == chart->rows) &&
        (!sheet->columns || sheet->columns == chart->columns))
        return STATUS_OK;
    return error_set(error, STATUS_NOT_FOUND,
                     "%s: the sheet shows %d rows x %d columns of cells, %d x %d were wanted; all "
                     "photos must be of one sheet, and --names or --rows and --columns may help",
                     path, chart->rows, chart->columns, sheet->rows, sheet->columns);
}

static enum status keep_readings(const struct measurement *measurement, size_t photo,
                                 struct sheet *sheet, struct error *error)
{
    sheet->rows = measurement->charts[0].pose.rows;
    sheet->columns = measurement->charts[0].pose.columns;
    if (!sheet->readings)
        sheet->readings = memory_array(sheet->photos * cells_of(sheet), sizeof *sheet->readings,
                                       "the readings", error);
    if (!sheet->readings)
        return error->status;
    for (size_t i = 0; i < cells_of(sheet); i++) {
        const struct reading *reading = &measurement->charts[0].readings[i];
        struct repeat_reading *kept = &sheet->readings[photo * cells_of(sheet) + i];

        kept->readable = reading->found == CELL_INK;
        kept->lab = reading->lab;
        memcpy(kept->covariance_shared, reading->covariance_shared, sizeof kept->covariance_shared);
        memcpy(kept->covariance_own, reading->covariance_own, sizeof kept->covariance_own);
    }
    return STATUS_OK;
}

static enum status measure_one(const char *path, size_t number, struct sheet *sheet,
                               struct error *error)
{
    struct photo photo = {0};
    struct measurement measurement = {0};
    const struct measurement_hints hints = {.card = &sheet->card,
                                            .rows = sheet->rows,
                                            .columns = sheet->columns,
                                            .named = sheet->named};
    enum status status = photo_read(path, PHOTO_WORKING_PIXELS_MAX, &photo, error);

    if (!status)
        status = measurement_from_photo(&photo, &hints, &measurement, error);
    if (!status)
        status = check_counts(sheet, path, &measurement, error);
    if (!status)
        status = keep_readings(&measurement, number, sheet, error);
    measurement_release(&measurement);
    photo_release(&photo);
    return status;
}

/* --- what they say --- */

static enum status print_cells(const struct sheet *sheet, const struct repeat_cell *pooled,
                               enum table_format format, struct error *error)
{
    const struct names *names = sheet->names.cells ? &sheet->names : NULL;
    struct table table = {0};
    enum status status =
        rows_of_repeat(names, sheet->columns, pooled, cells_of(sheet), &table, error);

    if (!status)
        status = commands_print(&table, format, error);
    table_release(&table);
    return status;
}

static void say_repeat(const struct sheet *sheet, const struct repeat *repeat)
{
    fprintf(stderr,
            "woad: %zu photos of one sheet, %zu cells read in two or more: two photos differ by "
            "%.2f delta E 2000 in the middle, by less than %.2f for 95 of 100\n"
            "woad: of what a photo states as its own uncertainty, %.0f %% does not shrink with "
            "more photos like these; another camera, light or card would tell more\n",
            sheet->photos, repeat->cells, repeat->median_difference, repeat->p95_difference,
            100 * repeat->stays);
}

static enum status check_sheet(const struct sheet *sheet, char **paths, struct error *error)
{
    struct repeat_apart apart;
    enum status status =
        repeat_find_apart(sheet->readings, sheet->photos, cells_of(sheet), &apart, error);

    if (status || !apart.found)
        return status;
    return error_set(error, STATUS_QUALITY,
                     "%.200s and %.200s are not of one sheet, or one lies turned: %zu of %zu cells "
                     "differ by more than readings of one colour do, by %.1f in the middle; only "
                     "photos of one sheet are pooled",
                     paths[apart.first], paths[apart.second], apart.unlike, apart.cells,
                     apart.median_difference);
}

static enum status pool(const struct sheet *sheet, enum table_format format, struct error *error)
{
    struct repeat_cell *pooled =
        memory_array(cells_of(sheet), sizeof *pooled, "the pooled readings", error);
    struct repeat repeat;
    enum status status;

    if (!pooled)
        return error->status;
    status = repeat_pool(sheet->readings, sheet->photos, cells_of(sheet), pooled, &repeat, error);
    if (!status)
        status = print_cells(sheet, pooled, format, error);
    if (!status)
        say_repeat(sheet, &repeat);
    free(pooled);
    return status;
}

static int run_repeat(const struct command *command, int count, char **words)
{
    struct repeat_settings settings = {0};
    struct sheet sheet = {0};
    struct error error;
    enum status status = options_parse(command, &count, words, &settings, &error);

    sheet.photos = (size_t)(count > 0 ? count : 0);
    if (!status)
        status = commands_read_card(settings.card, &sheet.card, &error);
    if (!status)
        status = read_names(&settings, &sheet, &error);
    for (int i = 0; !status && i < count; i++)
        status = measure_one(words[i], (size_t)i, &sheet, &error);
    if (!status)
        status = check_sheet(&sheet, words, &error);
    if (!status)
        status = pool(&sheet, settings.format, &error);
    free(sheet.readings);
    free(sheet.named);
    names_release(&sheet.names);
    return commands_report(status, &error);
}

const struct command command_repeat = {
    .name = "repeat",
    .operands = "PHOTO PHOTO...",
    .summary = "pool several photos of the same sheet, and tell how well they agree",
    .options = repeat_options,
    .operands_minimum = 2,
    .operands_maximum = PHOTOS_MAX,
    .run = run_repeat,
};
