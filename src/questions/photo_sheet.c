#include "questions/photo_sheet.h"

#include "base/memory.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

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

/* Without an inventory yet, no sheet is known. */
static enum status read_sheet(const char *inventory_path, int number, struct inventory_sheet *sheet,
                              struct error *error)
{
    struct inventory *inventory = NULL;
    struct error unfound;
    enum status status = STATUS_OK;

    if (inventory_open(inventory_path, INVENTORY_READ, &inventory, &unfound))
        return STATUS_OK;
    status = inventory_read_sheet(inventory, number, sheet, error);
    inventory_close(inventory);
    return status;
}

static enum status mark_named(struct photo_sheet *found, struct error *error)
{
    const struct names *names = &found->sheet.names;
    size_t cells = (size_t)(names->rows * names->columns);

    found->named = memory_array(cells, sizeof *found->named, "a sheet's names", error);
    for (size_t i = 0; found->named && i < cells; i++)
        found->named[i] = names->cells[i].ink[0] != '\0';
    return found->named ? STATUS_OK : error->status;
}

enum status photo_sheet_find(const struct photo *photo, const char *inventory_path,
                             struct photo_sheet *found, struct error *error)
{
    enum status status;

    memset(found, 0, sizeof *found);
    status = tags_find(photo, &found->tags, error);
    found->number = choose_sheet(&found->tags);
    if (!status && found->number)
        status = read_sheet(inventory_path, found->number, &found->sheet, error);
    if (status || !found->sheet.number)
        return status;
    found->placed =
        printed_chart_find(&found->sheet.chart, &found->tags, found->number, &found->pose);
    snprintf(found->chart, sizeof found->chart, "%.200s, sheet %d", found->sheet.title,
             found->number);
    return mark_named(found, error);
}

void photo_sheet_release(struct photo_sheet *found)
{
    free(found->named);
    inventory_sheet_release(&found->sheet);
    memset(found, 0, sizeof *found);
}
