#include "output/check_layout.h"

#include <math.h>

#define MARGIN_PX 40
#define BELOW_FROM_ASPECT 1.15 /* photos at least this much wider than high: panel below */
#define PHOTO_BESIDE_PX 1120   /* the photo's width with the panel beside it */
#define PHOTO_HEIGHT_MAX_PX 1800
#define HEADING_PX 84
#define SIDE_COLUMN_PX 380 /* facts, legend */
#define RIM_PX 30          /* for the grid's letters and numbers */
#define CELL_WIDTH_MAX_PX 200
#define GRID_HEIGHT_PX 1150 /* wanted at most */
#define TILE_HEIGHT_MIN_PX 24
#define TILE_HEIGHT_MAX_PX 96
#define NAMED_FROM_PX 58 /* narrower cells carry no letters */
#define ONE_LINE_FROM_PX 185
#define ONE_LINE_FROM_ROWS 17
#define GAP_PX 8

static double clamp(double value, double least, double most)
{
    return fmin(fmax(value, least), most);
}

static void place_photo(const struct image *photo, struct check_layout *layout)
{
    double aspect = (double)photo->width_px / photo->height_px;
    double slot = layout->panel_below ? CHECK_WIDTH_PX : PHOTO_BESIDE_PX;
    double width = floor(fmin(slot, PHOTO_HEIGHT_MAX_PX * aspect));

    layout->photo = (struct box){floor((slot - width) / 2), 0, fmax(width, 1),
                                 fmax(floor(fmax(width, 1) / aspect), 1)};
}

static void place_panel(struct check_layout *layout)
{
    double x = layout->panel_below ? MARGIN_PX : PHOTO_BESIDE_PX + MARGIN_PX;
    double y = MARGIN_PX + (layout->panel_below ? layout->photo.height : 0);
    double width = CHECK_WIDTH_PX - MARGIN_PX - x;

    layout->panel = (struct box){x, y, width, layout->photo.height - 2 * MARGIN_PX};
    layout->heading = (struct box){x, y, width, HEADING_PX};
    layout->grid = (struct box){x, y + HEADING_PX, width, 0};
    if (layout->panel_below && layout->columns)
        layout->grid.width -= 2 * (SIDE_COLUMN_PX + MARGIN_PX);
}

/* Letters, and a tile as high as the rows leave it. */
static void place_cells(struct check_layout *layout)
{
    double text_px;

    layout->column_px = fmin((layout->grid.width - RIM_PX) / layout->columns, CELL_WIDTH_MAX_PX);
    layout->name_px =
        layout->column_px < NAMED_FROM_PX ? 0 : clamp(layout->column_px * 0.135, 11, 18);
    layout->name_lines =
        layout->column_px >= ONE_LINE_FROM_PX || layout->rows >= ONE_LINE_FROM_ROWS ? 1 : 2;
    text_px = layout->name_px * CANVAS_LINE_SPACING * (layout->name_lines + 1) + 2 * GAP_PX;
    layout->first_tile = (struct box){
        layout->grid.x + RIM_PX, layout->grid.y + RIM_PX, layout->column_px - GAP_PX,
        floor(clamp(fmin(0.55 * layout->column_px, GRID_HEIGHT_PX / layout->rows - text_px),
                    TILE_HEIGHT_MIN_PX, TILE_HEIGHT_MAX_PX))};
    layout->row_px = layout->first_tile.height + text_px;
    layout->grid.height = RIM_PX + layout->row_px * layout->rows;
}

static void place_side_columns(struct check_layout *layout)
{
    double x = layout->panel.x, y = layout->grid.y + layout->grid.height;

    if (layout->panel_below) {
        x = CHECK_WIDTH_PX - 2 * (SIDE_COLUMN_PX + MARGIN_PX);
        y = layout->grid.y;
    }
    layout->facts = (struct box){x, y, SIDE_COLUMN_PX, 0};
    layout->legend = (struct box){x + SIDE_COLUMN_PX + MARGIN_PX, y, SIDE_COLUMN_PX, 0};
}

struct check_layout check_layout_make(const struct image *photo, int rows, int columns)
{
    struct check_layout layout = {.rows = rows, .columns = columns};

    layout.panel_below = photo->width_px >= BELOW_FROM_ASPECT * photo->height_px;
    place_photo(photo, &layout);
    place_panel(&layout);
    if (rows > 0 && columns > 0)
        place_cells(&layout);
    place_side_columns(&layout);
    return layout;
}

struct box check_layout_tile(const struct check_layout *layout, int row, int column)
{
    struct box tile = layout->first_tile;

    tile.x += (column - 1) * layout->column_px;
    tile.y += (row - 1) * layout->row_px;
    return tile;
}
