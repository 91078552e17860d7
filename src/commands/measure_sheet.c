#include "measure_sheet.h"

#include "base/memory.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* --- which sheet ------------------------------------------------------------------------------ */

/* Whoever tells names or places beforehand knows better. */
static bool is_told(const struct measure_run *run)
{
    const struct measure_settings *settings = &run->settings;

    return run->names.cells || settings->chart_at.given || settings->which || settings->rows ||
           settings->columns;
}

static int tags_of(const struct tags *tags, int sheet)
{
    int count = 0;

    for (int i = 0; i < tags->count; i++)
        count += tags->items[i].sheet == sheet;
    return count;
}

/* The sheet with the most tags; 0: the photo shows none. Of several the first is read. */
static int choose_sheet(const struct tags *tags)
{
    int sheet = 0;

    for (int i = 0; i < tags->count; i++)
        if (!sheet || tags_of(tags, tags->items[i].sheet) > tags_of(tags, sheet))
            sheet = tags->items[i].sheet;
    return sheet;
}

static void note_others(const struct tags *tags, int sheet, const char *path, FILE *notes)
{
    for (int i = 0; i < tags->count; i++) {
        bool first = true;

        for (int j = 0; j < i; j++)
            first = first && tags->items[j].sheet != tags->items[i].sheet;
        if (first && tags->items[i].sheet != sheet)
            fprintf(notes,
                    "%s: shows the corner marks of sheet %d too, which is not read; take a photo "
                    "of it alone\n",
                    path, tags->items[i].sheet);
    }
}

/* Without an inventory yet, no sheet is known. */
static enum status read_sheet(const struct measure_run *run, int number,
                              struct inventory_sheet *sheet, struct error *error)
{
    struct inventory *inventory = NULL;
    struct error unfound;
    enum status status = STATUS_OK;

    if (inventory_open(run->inventory_path, INVENTORY_READ, &inventory, &unfound))
        return STATUS_OK;
    status = inventory_read_sheet(inventory, number, sheet, error);
    inventory_close(inventory);
    return status;
}

/* --- what it tells ---------------------------------------------------------------------------- */

static enum status take_names(const struct inventory_sheet *sheet, struct measure_run *run,
                              struct error *error)
{
    size_t cells = (size_t)(sheet->names.rows * sheet->names.columns);

    run->names = sheet->names;
    run->named = memory_array(cells, sizeof *run->named, "a sheet's names", error);
    for (size_t i = 0; run->named && i < cells; i++)
        run->named[i] = sheet->names.cells[i].ink[0] != '\0';
    return run->named ? STATUS_OK : error->status;
}

static void take_place(const struct printed_pose *pose, double scale, struct measure_run *run)
{
    run->settings.chart_at.given = true;
    for (int i = 0; i < 4; i++)
        run->settings.chart_at.quad.corner[i] = point_scale(pose->corners.corner[i], scale);
}

enum status measure_sheet_find(const struct measure_run *run, const struct photo *photo,
                               struct measure_sheet *found, FILE *notes, struct error *error)
{
    struct tags tags = {.count = 0};
    struct printed_pose pose;
    int number;
    enum status status;

    memset(found, 0, sizeof *found);
    if (is_told(run))
        return STATUS_OK;
    status = tags_find(photo, &tags, error);
    number = choose_sheet(&tags);
    if (!status && number)
        status = read_sheet(run, number, &found->sheet, error);
    if (status || !number)
        return status;
    note_others(&tags, number, photo->path, notes);
    if (!found->sheet.number)
        fprintf(notes,
                "%s: its corner marks are of sheet %d, which this inventory did not print; names "
                "have to be told with --names\n",
                photo->path, number);
    if (!found->sheet.number || !printed_chart_find(&found->sheet.chart, &tags, number, &pose))
        return STATUS_OK;
    found->run = *run;
    take_place(&pose, photo->scale, &found->run);
    snprintf(found->chart, sizeof found->chart, "%.200s, sheet %d", found->sheet.title, number);
    if (!run->settings.chart)
        found->run.settings.chart = found->chart;
    fprintf(notes, "%s: sheet %d ('%s', page %d), by %d of its 4 corner marks\n", photo->path,
            number, found->sheet.title, found->sheet.page, pose.tags);
    return take_names(&found->sheet, &found->run, error);
}

void measure_sheet_release(struct measure_sheet *found)
{
    free(found->run.named);
    inventory_sheet_release(&found->sheet);
    memset(found, 0, sizeof *found);
}
