#include "order_job.h"
#include "base/memory.h"
#include "base/utf8.h"
#include "notes.h"
#include "output/tiles.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

static const struct option order_options[] = {
    OPTION(struct order_settings, families, "families", "FILE.csv",
           "your own families, 'ink,family' a line; else as measured"),
    OPTION(struct order_settings, sheet, "sheet", "ROWSxCOLUMNS",
           "fill sheets of this size, row by row"),
    OPTION(struct order_settings, slot, "slot", "INK",
           "keep the order of the sheets named, and find where this ink goes"),
    OPTION(struct order_settings, picture, "picture", "FILE.png",
           "draw the order as tiles, each family from a row of its own"),
    OPTION(struct order_settings, write, "write", "FILE.csv",
           "write the sheets' ink names, as 'measure --names' reads them"),
    COMMANDS_INVENTORY_OPTION(struct order_settings),
    COMMANDS_FORMAT_OPTION(struct order_settings),
    {0}};

static enum status read_size(const char *text, int *rows, int *columns, struct error *error)
{
    char rest;

    if (sscanf(text, "%dx%d%c", rows, columns, &rest) == 2 && *rows >= 1 && *columns >= 1 &&
        *rows <= NAMES_SIDE_MAX && *columns <= NAMES_SIDE_MAX)
        return STATUS_OK;
    return error_set(error, STATUS_USAGE,
                     "--sheet: '%.40s' is no size of a sheet; write rows x columns, each from 1 to "
                     "%d, as in 8x5",
                     text, NAMES_SIDE_MAX);
}

/* Lay the order out on sheets as large as told, or else as today's first. */
static enum status lay_out(const struct order_job *job, const struct order *order,
                           struct name_sheets *sheets, struct error *error)
{
    int rows = 0, columns = 0;
    enum status status = STATUS_OK;

    if (job->settings->sheet)
        status = read_size(job->settings->sheet, &rows, &columns, error);
    else if (job->today.count) {
        rows = job->today.items[0].rows;
        columns = job->today.items[0].columns;
    }
    if (status || !rows)
        return status;
    status = name_sheets_create(rows, columns, order->count, sheets, error);
    for (size_t i = 0; !status && i < order->count; i++)
        snprintf(name_sheets_cell(sheets, i)->ink, sizeof name_sheets_cell(sheets, i)->ink, "%.*s",
                 NAMES_INK_BYTES_MAX, job->task.inks[order->inks[i]].name);
    for (size_t i = 0; !status && i < sheets->count && i < job->today.count; i++)
        snprintf(sheets->labels[i], NAME_SHEETS_LABEL_SIZE, "%s", job->today.labels[i]);
    return status;
}

static void tell_family(const char *name, const struct order_family *family, FILE *out)
{
    fprintf(out, "%s: %zu ink%s", name, family->count, family->count == 1 ? "" : "s");
    if (family->count < 2)
        fputs(".\n", out);
    else if (family->path.proven)
        fprintf(out, ", steps of %.2f in all; no order of them has less.\n", family->path.length);
    else
        fprintf(out, ", steps of %.2f in all; no order has less than %.2f (gap %.1f %%).\n",
                family->path.length, family->path.bound,
                100 * (family->path.length - family->path.bound) / family->path.length);
}

static void tell_order(const struct order_job *job, const struct order *order, FILE *out)
{
    fprintf(out, "%zu ink%s, steps of %.2f delta E in all, those between families too.\n",
            order->count, order->count == 1 ? "" : "s", order->length);
    for (size_t i = 0; i < order->family_count; i++)
        if (order->families[i].count)
            tell_family(job->families.names[i], &order->families[i], out);
}

/* Inks that today's sheets hold, and nothing is known of: mistyped, or not measured. */
static void note_strangers(const struct order_job *job, FILE *out)
{
    size_t cells = name_sheets_cells(&job->today);

    for (size_t i = 0; i < cells; i++) {
        const char *name = name_sheets_cell(&job->today, i)->ink;
        bool found = !name[0];

        for (size_t k = 0; !found && k < job->task.count; k++)
            found = utf8_same(job->task.inks[k].name, name);
        if (!found)
            fprintf(out,
                    "woad: '%s' stands on today's sheets but has no colour in the inventory; "
                    "it is %s\n",
                    name, job->settings->slot ? "passed over" : "left out");
    }
}

static void tell_moves(const struct order_job *job, const struct order *order,
                       const struct name_sheets *sheets, FILE *out)
{
    size_t stay = 0, added = 0, cells = name_sheets_cells(&job->today);

    for (size_t i = 0; i < order->count; i++) {
        size_t before = name_sheets_find(&job->today, name_sheets_cell(sheets, i)->ink);
        struct name_sheets_place now = name_sheets_place_of(sheets, i), was;

        added += before == cells;
        if (before == cells)
            continue;
        was = name_sheets_place_of(&job->today, before);
        stay += strcmp(now.sheet, was.sheet) == 0 && now.row == was.row && now.column == was.column;
    }
    fprintf(out, "Against today's sheets %zu stay, %zu move, %zu are new.\n", stay,
            order->count - stay - added, added);
}

static enum status add_row(const struct order_job *job, const struct order *order,
                           const struct name_sheets *sheets, size_t i, struct table *table,
                           struct error *error)
{
    const struct range_ink *ink = &job->task.inks[order->inks[i]];
    size_t before = name_sheets_find(&job->today, ink->name);
    struct name_sheets_place now, was;
    struct order_row row = {.place = (int)i + 1,
                            .today = job->today.count > 0,
                            .name = ink->name,
                            .ink = ink,
                            .family = job->families.names[job->task.family[order->inks[i]]],
                            .from_previous = NAN};

    if (i > 0)
        row.from_previous = colour_delta_e_2000(job->task.inks[order->inks[i - 1]].lab, ink->lab);
    if (sheets->count) {
        now = name_sheets_place_of(sheets, i);
        row.now = order_job_cell(&now);
    }
    if (before < name_sheets_cells(&job->today)) {
        was = name_sheets_place_of(&job->today, before);
        row.was = order_job_cell(&was);
    }
    return order_rows_add(&row, table, error);
}

static enum status print_order(const struct order_job *job, const struct order *order,
                               const struct name_sheets *sheets, struct error *error)
{
    const struct order_rows_kind kind = {sheets->count > 0, job->today.count > 0, false};
    FILE *out = job->settings->format == TABLE_TEXT ? stdout : stderr;
    struct table table;
    enum status status = STATUS_OK;

    order_rows_start(&table, &kind);
    for (size_t i = 0; !status && i < order->count; i++)
        status = add_row(job, order, sheets, i, &table, error);
    if (!status) {
        tell_order(job, order, out);
        if (job->today.count)
            tell_moves(job, order, sheets, out);
        if (out == stdout)
            putchar('\n');
        status = commands_print(&table, job->settings->format, error);
    }
    table_release(&table);
    return status;
}

static enum status draw_order(const struct order_job *job, const struct order *order,
                              struct error *error)
{
    struct tile *tiles = memory_array(order->count, sizeof *tiles, "the tiles", error);
    enum status status = tiles ? STATUS_OK : error->status;
    size_t before = FAMILIES_MAX;

    for (size_t i = 0; !status && i < order->count; i++) {
        const struct range_ink *ink = &job->task.inks[order->inks[i]];
        size_t family = job->task.family[order->inks[i]];

        tiles[i] = (struct tile){family == before ? NULL : job->families.names[family], ink->name,
                                 ink->lab, false};
        before = family;
    }
    if (!status)
        status = tiles_write(job->settings->picture, tiles, order->count, error);
    if (!status)
        fprintf(stderr, "woad: the order is drawn in %s\n", job->settings->picture);
    free(tiles);
    return status;
}

/* Put the whole range in order, print it, and write its sheets. */
static enum status arrange(const struct order_job *job, struct error *error)
{
    struct order order = {0};
    struct name_sheets sheets = {0};
    enum status status = order_arrange(&job->task, &order, error);

    if (!status)
        status = lay_out(job, &order, &sheets, error);
    if (!status && job->settings->write)
        status = name_sheets_write(&sheets, job->settings->write, error);
    if (!status)
        status = print_order(job, &order, &sheets, error);
    if (!status && job->settings->picture)
        status = draw_order(job, &order, error);
    name_sheets_release(&sheets);
    order_release(&order);
    return status;
}

/* --- the command ---------------------------------------------------------------------------- */

static enum status check_settings(const struct order_settings *settings, int sheets,
                                  struct error *error)
{
    int rows, columns;

    if (settings->slot && !sheets)
        return error_set(error, STATUS_USAGE,
                         "--slot keeps today's order, which the names files of today's sheets "
                         "tell; name them behind it: woad order --slot INK SHEET.csv...");
    if (settings->slot && settings->picture)
        return error_set(error, STATUS_USAGE,
                         "--picture draws a whole order, --slot changes one of today's; give one");
    if (settings->slot && settings->sheet)
        return error_set(error, STATUS_USAGE,
                         "--slot keeps today's sheets as they are, --sheet makes others; give one");
    if (settings->write && !settings->sheet && !sheets)
        return error_set(error, STATUS_USAGE,
                         "--write needs the size of a sheet; give --sheet, or name today's sheets");
    return settings->sheet ? read_size(settings->sheet, &rows, &columns, error) : STATUS_OK;
}

static enum status prepare(struct order_job *job, char **paths, int count, struct error *error)
{
    enum status status = measured_range_load(job->settings->inventory, &job->measured, error);

    if (!status)
        notes_of_range(&job->measured, stderr);
    if (!status && !job->measured.count)
        status = error_set(error, STATUS_INVENTORY,
                           "no ink of the inventory has a colour yet, so there is nothing to put "
                           "in order; 'woad measure PHOTO' adds them");
    if (!status)
        status = families_create(&job->measured, job->settings->families, &job->families, error);
    if (!status)
        status = name_sheets_read(paths, (size_t)count, &job->today, error);
    job->task = (struct order_task){job->measured.inks, job->families.of_ink, job->measured.count,
                                    job->families.count};
    return status;
}

static int run_order(const struct command *command, int count, char **words)
{
    struct order_settings settings = {0};
    struct order_job job = {.settings = &settings};
    struct error error;
    enum status status = options_parse(command, &count, words, &settings, &error);

    if (!status)
        status = check_settings(&settings, count, &error);
    if (!status)
        status = prepare(&job, words, count, &error);
    if (!status) {
        note_strangers(&job, stderr);
        status = settings.slot ? order_job_slot(&job, &error) : arrange(&job, &error);
    }
    name_sheets_release(&job.today);
    families_release(&job.families);
    measured_range_release(&job.measured);
    return commands_report(status, &error);
}

const struct command command_order = {
    .name = "order",
    .operands = "[SHEET.csv...]",
    .summary = "put the range in colour order, fill sheets, or slot one ink in",
    .options = order_options,
    .operands_maximum = -1,
    .run = run_order,
};
