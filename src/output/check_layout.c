#include "check_layout.h"

#include <math.h>

#define MARGIN_PX 40
#define BELOW_FROM_ASPECT 1.15 /* photos at least this much wider than high: panel below */
#define PHOTO_BESIDE_PX 1120   /* the photo's width with the panel beside it */
#define PHOTO_HEIGHT_MAX_PX 1800
#define HEADING_PX 84
#define SIDE_COLUMN_PX 380 /* facts, notes */
#define SIDE_COLUMN_MAX_PX 520
#define WIDE_FROM_COLUMNS 9
#define RIM_PX 30 /* for the grid's letters and numbers */
#define CELL_WIDTH_MAX_PX 200
#define GRID_HEIGHT_PX 900 /* wanted at most */
#define TILE_HEIGHT_MIN_PX 30
#define TILE_HEIGHT_MIN_LETTERS 2.8 /* for a warning above a remark */
#define TILE_HEIGHT_MAX_PX 96
#define NAMED_FROM_PX 58      /* narrower cells carry no letters */
#define TWO_LINES_FROM_PX 100 /* narrower cells' names are broken into three */
#define ONE_LINE_FROM_PX 185
#define ONE_LINE_FROM_ROWS 17
#define ONE_NUMBER_LINE_FROM_PX 90
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

/* Whether the grid takes the whole width of the picture. */
static bool is_wide(const struct check_layout *layout)
{
    return layout->columns >= WIDE_FROM_COLUMNS;
}

static void place_panel(struct check_layout *layout)
{
    double x = layout->panel_below ? MARGIN_PX : PHOTO_BESIDE_PX + MARGIN_PX;
    double y = MARGIN_PX + (layout->panel_below ? layout->photo.height : 0);
    double width = CHECK_WIDTH_PX - MARGIN_PX - x;

    layout->panel = (struct box){x, y, width, layout->photo.height - 2 * MARGIN_PX};
    layout->heading = (struct box){x, y, width, HEADING_PX};
    layout->grid = (struct box){x, y + HEADING_PX, width, 0};
    if (is_wide(layout))
        layout->grid =
            (struct box){MARGIN_PX, fmax(layout->grid.y, layout->photo.height + MARGIN_PX),
                         CHECK_WIDTH_PX - 2 * MARGIN_PX, 0};
    else if (layout->panel_below && layout->columns)
        layout->grid.width -= 2 * (SIDE_COLUMN_PX + MARGIN_PX);
}

static int name_lines(const struct check_layout *layout)
{
    if (!layout->named || layout->column_px >= ONE_LINE_FROM_PX ||
        layout->rows >= ONE_LINE_FROM_ROWS)
        return 1;
    return layout->column_px >= TWO_LINES_FROM_PX ? 2 : 3;
}

/* Letters, and a tile as high as the rows leave it. */
static void place_cells(struct check_layout *layout)
{
    double text_px, least, wanted;

    layout->column_px = fmin((layout->grid.width - RIM_PX) / layout->columns, CELL_WIDTH_MAX_PX);
    layout->name_px =
        layout->column_px < NAMED_FROM_PX ? 0 : clamp(layout->column_px * 0.125, 12, 18);
    layout->name_lines = name_lines(layout);
    layout->number_lines = layout->column_px >= ONE_NUMBER_LINE_FROM_PX ? 1 : 2;
    text_px = layout->name_px * CANVAS_LINE_SPACING * (layout->name_lines + layout->number_lines) +
              1.5 * GAP_PX;
    least = fmax(TILE_HEIGHT_MIN_PX, TILE_HEIGHT_MIN_LETTERS * layout->name_px);
    wanted = fmin(0.55 * layout->column_px, GRID_HEIGHT_PX / layout->rows - text_px);
    layout->first_tile =
        (struct box){layout->grid.x + RIM_PX, layout->grid.y + RIM_PX, layout->column_px - GAP_PX,
                     floor(clamp(wanted, least, TILE_HEIGHT_MAX_PX))};
    layout->row_px = layout->first_tile.height + text_px;
    layout->grid.width = RIM_PX + layout->column_px * layout->columns;
    layout->grid.height = RIM_PX + layout->row_px * layout->rows;
}

/* Right of the grid, which may leave them more room than they need at least. */
static void place_right_of_grid(struct check_layout *layout)
{
    double x = layout->grid.x + layout->grid.width + MARGIN_PX;
    double room = layout->panel.x + layout->panel.width - x;
    double width = fmin((room - MARGIN_PX) / 2, SIDE_COLUMN_MAX_PX);

    layout->facts = (struct box){x, layout->grid.y, width, 0};
    layout->notes = (struct box){x + width + MARGIN_PX, layout->grid.y, width, 0};
}

/* Facts below the grid, or beside the photo where the grid is below it; notes below all. */
static void place_beside_photo(struct check_layout *layout)
{
    double grid_end = layout->grid.y + layout->grid.height;
    double y = is_wide(layout) ? layout->heading.y + HEADING_PX : grid_end;

    layout->facts = (struct box){layout->panel.x, y, layout->panel.width, 0};
    layout->notes = (struct box){MARGIN_PX, fmax(layout->photo.height, grid_end),
                                 CHECK_WIDTH_PX - 2 * MARGIN_PX, 0};
    layout->notes_are_footer = true;
}

/* Side by side below a grid that takes the whole width. */
static void place_below_grid(struct check_layout *layout)
{
    double y = layout->grid.y + layout->grid.height;
    double width = (layout->panel.width - MARGIN_PX) / 2;

    layout->facts = (struct box){layout->panel.x, y, width, 0};
    layout->notes = (struct box){layout->panel.x + width + MARGIN_PX, y, width, 0};
}

struct check_layout check_layout_make(const struct image *photo, int rows, int columns, bool named)
{
    struct check_layout layout = {.rows = rows, .columns = columns, .named = named};

    layout.panel_below = photo->width_px >= BELOW_FROM_ASPECT * photo->height_px;
    place_photo(photo, &layout);
    place_panel(&layout);
    if (rows > 0 && columns > 0)
        place_cells(&layout);
    if (!layout.panel_below)
        place_beside_photo(&layout);
    else if (is_wide(&layout))
        place_below_grid(&layout);
    else
        place_right_of_grid(&layout);
    return layout;
}

void check_layout_push(struct check_layout *layout, double y)
{
    double down = fmax(y - layout->grid.y, 0);

    layout->grid.y += down;
    layout->first_tile.y += down;
    layout->notes.y += down;
}

struct box check_layout_tile(const struct check_layout *layout, int row, int column)
{
    struct box tile = layout->first_tile;

    tile.x += (column - 1) * layout->column_px;
    tile.y += (row - 1) * layout->row_px;
    return tile;
}
