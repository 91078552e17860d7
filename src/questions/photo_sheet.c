#include "questions/photo_sheet.h"

#include "location/printed_test.h"

#include <string.h>

/* --- which sheets ----------------------------------------------------------------------------- */

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

/* Whether a tag's sheet had a tag before it. */
static bool came_before(const struct tags *tags, int tag)
{
    for (int i = 0; i < tag; i++)
        if (tags->items[i].sheet == tags->items[tag].sheet)
            return true;
    return false;
}

static enum status add_sheet(const struct photo *photo, const struct tags *tags, int number,
                             const char *inventory_path, struct photo_sheets *sheets,
                             struct error *error)
{
    struct inventory_sheet *sheet = &sheets->items[sheets->count];
    enum status status = read_sheet(inventory_path, number, sheet, error);

    if (!status && sheet->number &&
        printed_chart_find(&sheet->chart, tags, number, &sheets->poses[sheets->count]))
        return printed_chart_settle(photo, &sheet->chart, tags, number,
                                    &sheets->poses[sheets->count++], error);
    if (!status && !sheet->number)
        sheets->unknown[sheets->unknown_count++] = number;
    inventory_sheet_release(sheet);
    return status;
}

enum status photo_sheet_find(const struct photo *photo, const char *inventory_path,
                             struct photo_sheets *sheets, struct error *error)
{
    struct tags tags;
    enum status status;

    memset(sheets, 0, sizeof *sheets);
    status = tags_find(photo, &tags, error);
    for (int i = 0; !status && i < tags.count && sheets->count < CHARTS_MAX; i++)
        if (tags.items[i].sheet != PRINTED_TEST_SHEET && !came_before(&tags, i))
            status = add_sheet(photo, &tags, tags.items[i].sheet, inventory_path, sheets, error);
    return status;
}

void photo_sheet_release(struct photo_sheets *sheets)
{
    for (int i = 0; i < sheets->count; i++)
        inventory_sheet_release(&sheets->items[i]);
    memset(sheets, 0, sizeof *sheets);
}

/* --- what they tell --------------------------------------------------------------------------- */

struct chart_told photo_sheet_told(const struct photo_sheets *sheets, int sheet)
{
    const struct printed_chart *chart = &sheets->items[sheet].chart;
    const struct printed_pose *pose = &sheets->poses[sheet];

    return (struct chart_told){pose->corners, chart->rows, chart->columns, chart, pose->from_page};
}

double photo_sheet_scale(const struct photo_sheets *sheets, int sheet, const struct card_pose *card,
                         double card_mm)
{
    struct homography back = homography_invert(&sheets->poses[sheet].from_page);
    double length = 0; /* on the page, the mean over its rows' upper and lower edges */

    for (int row = 0; row < card->shape.rows; row++) {
        const struct quad *first = &card->patch[row * card->shape.columns];
        const struct quad *last = &card->patch[(row + 1) * card->shape.columns - 1];

        length += point_distance(homography_apply(&back, first->corner[0]),
                                 homography_apply(&back, last->corner[1])) +
                  point_distance(homography_apply(&back, first->corner[3]),
                                 homography_apply(&back, last->corner[2]));
    }
    return 2 * card->shape.rows * card_mm / length;
}
