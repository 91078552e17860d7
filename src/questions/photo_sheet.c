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

/* Keep the sheet if it is sure how it lies. */
static enum status pose_sheet(const struct photo *photo, const struct tags *tags,
                              struct photo_sheets *sheets, struct error *error)
{
    const struct inventory_sheet *sheet = &sheets->items[sheets->count];
    struct printed_pose *pose = &sheets->poses[sheets->count];
    enum status status = STATUS_OK;

    if (printed_chart_find(&sheet->chart, tags, sheet->number, pose))
        status = printed_chart_settle(photo, &sheet->chart, tags, sheet->number, pose, error);
    if (!status && pose->sure) {
        sheets->count++;
    } else {
        sheets->unsure = sheet->number;
        sheets->unsure_tags = pose->tags;
    }
    return status;
}

static enum status add_sheet(const struct photo *photo, const struct tags *tags, int number,
                             const char *inventory_path, struct photo_sheets *sheets,
                             struct error *error)
{
    struct inventory_sheet *sheet = &sheets->items[sheets->count];
    int before = sheets->count;
    enum status status = read_sheet(inventory_path, number, sheet, error);

    if (!status && sheet->number)
        status = pose_sheet(photo, tags, sheets, error);
    else if (!status)
        sheets->unknown[sheets->unknown_count++] = number;
    if (sheets->count == before)
        inventory_sheet_release(sheet);
    return status;
}

/* Another sheet that reaches into the photo does no harm. */
static enum status refuse_unsure(const struct photo *photo, const struct photo_sheets *sheets,
                                 struct error *error)
{
    if (sheets->count || !sheets->unsure)
        return STATUS_OK;
    return error_set(error, STATUS_NOT_FOUND,
                     "%s: of sheet %d only %d of 4 corner marks can be seen%s: too little to tell "
                     "its cells apart; photograph it with another mark uncovered, or tell its "
                     "names with --names",
                     photo->path, sheets->unsure, sheets->unsure_tags,
                     sheets->unsure_tags > 1 ? ", and few inked cells" : "");
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
    return status ? status : refuse_unsure(photo, sheets, error);
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
