#include "commands.h"
#include "inventory/combinations.h"
#include "inventory/inventory.h"
#include "output/json.h"
#include "output/palette.h"
#include "output/rows.h"

struct export_settings {
    const char *inventory;
    const char *format;
};

static const struct option export_options[] = {
    COMMANDS_INVENTORY_OPTION(struct export_settings),
    OPTION(struct export_settings, format, "format", "table|csv|json|gpl|css|svg|cgats",
           "every reading as rows, CSV if not told; or the range's colours for drawing "
           "programs"),
    {0}};

/* Readings are printed some at a time, so that any number takes little memory; a table for people
 * has to know the width of all of them first. */
#define PART_ROWS 200

struct exporting {
    struct table table;
    enum table_format format;
    bool begun; /* some are printed */
};

static enum status print_part(struct exporting *exporting, struct error *error)
{
    struct table *table = &exporting->table;
    enum status status = STATUS_OK;

    if (exporting->format == TABLE_JSON)
        status = json_write_part(table, !exporting->begun, stdout, error);
    else
        table_write_csv_rows(table, stdout);
    exporting->begun = exporting->begun || table_rows(table) > 0;
    table_keep_columns(table);
    return status;
}

static enum status take(void *context, const struct inventory_reading *reading, struct error *error)
{
    struct exporting *exporting = context;
    enum status status = rows_of_export_add(reading, &exporting->table, error);

    if (!status && exporting->format != TABLE_TEXT && table_rows(&exporting->table) == PART_ROWS)
        status = print_part(exporting, error);
    return status;
}

static enum status print_everything(struct inventory *inventory, enum table_format format,
                                    struct error *error)
{
    struct exporting exporting = {.format = format};
    const struct inventory_taker taker = {take, &exporting};
    enum status status;

    rows_of_export_start(&exporting.table);
    status = table_check(&exporting.table, error);
    if (!status && format == TABLE_CSV)
        table_write_csv_header(&exporting.table, stdout);
    if (!status)
        status = inventory_each_reading(inventory, &taker, error);
    if (!status && format == TABLE_TEXT)
        status = commands_print(&exporting.table, format, error);
    else if (!status)
        status = print_part(&exporting, error);
    if (!status && format == TABLE_JSON)
        json_write_end(!exporting.begun, stdout);
    table_release(&exporting.table);
    return status;
}

/* What is kept beside the readings is no row of a table of readings. */
static enum status note_the_rest(struct inventory *inventory, struct error *error)
{
    struct inventory_combinations combinations = {0};
    struct inventory_strips strips = {0};
    enum status status = inventory_read_combinations(inventory, NULL, &combinations, error);

    if (!status)
        status = inventory_read_strips(inventory, &strips, error);
    if (!status && combinations.count + strips.count)
        fprintf(stderr,
                "woad: these are the readings; the log of combinations (%zu), test blends (%zu) "
                "and the history go along with 'woad inventory backup FILE'\n",
                combinations.count, strips.count);
    inventory_combinations_release(&combinations);
    inventory_strips_release(&strips);
    return status;
}

static enum status print_readings(const char *told, enum table_format format, struct error *error)
{
    char path[INVENTORY_PATH_SIZE];
    struct inventory *inventory = NULL;
    enum status status = inventory_location(told, path, error);

    if (!status)
        status = inventory_open(path, INVENTORY_READ, &inventory, error);
    if (!status)
        status = print_everything(inventory, format, error);
    if (!status)
        status = note_the_rest(inventory, error);
    inventory_close(inventory);
    return status;
}

static enum status print_palette(const char *told, enum palette_format format, struct error *error)
{
    struct ordered_range ordered = {0};
    enum status status = ordered_range_load(told, NULL, SIZE_MAX, &ordered, error);

    if (!status)
        status = palette_write(&ordered, format, stdout, error);
    ordered_range_release(&ordered);
    return status;
}

static enum status print_as_told(const struct export_settings *settings, struct error *error)
{
    enum table_format table;
    enum palette_format palette;

    if (table_format_of(settings->format, &table))
        return print_readings(settings->inventory, table, error);
    if (palette_format_of(settings->format, &palette))
        return print_palette(settings->inventory, palette, error);
    return error_set(error, STATUS_USAGE,
                     "--format is table, csv or json for readings, or gpl, css, svg or cgats for "
                     "the range's colours, not '%.60s'",
                     settings->format);
}

static int run_export(const struct command *command, int count, char **words)
{
    struct export_settings settings = {.format = "csv"};
    struct error error;
    enum status status = options_parse(command, &count, words, &settings, &error);

    if (!status)
        status = print_as_told(&settings, &error);
    return commands_report(status, &error);
}

const struct command command_export = {
    .name = "export",
    .operands = "",
    .summary = "print every reading of the inventory for another program, or a palette for drawing",
    .options = export_options,
    .run = run_export,
};
