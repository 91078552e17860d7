#include "location/chart_extent.h"

#include "base/memory.h"
#include "values/statistics.h"
#include "vision/sampling.h"

#include <math.h>
#include <stdlib.h>

#define STRAY_NODES_MAX 1 /* an outer line with no more nodes must fit well to stay */
#define STRAY_OFF 0.1     /* of the pitch */
#define STRAY_AREA 1.4
#define CELL_HALF 0.12
#define GLANCE_RADIUS_MAX_PX 6.0
#define GAP_HALF 0.06    /* of the pitch: half the side of the square looked at between cells */
#define PAPER_GAPS_MIN 3
#define PAPER_RATIO_MIN 0.35 /* of the card's white, in every channel: dimmer is no paper */
#define INKED_RATIO 0.94 /* darker than this against the paper beside it, in any channel */

/* One outer line of the lattice. */
struct line {
    bool is_column;
    int index;
};

static bool on_line(const struct lattice_node *node, struct line line)
{
    return (line.is_column ? node->column : node->row) == line.index;
}

static size_t nodes_on(const struct lattice *lattice, struct line line)
{
    size_t count = 0;

    for (size_t i = 0; i < lattice->count; i++)
        count += on_line(&lattice->nodes[i], line);
    return count;
}

static bool fits_well(const struct lattice *lattice, const struct lattice_node *node,
                      double usual_area)
{
    struct point place = {node->column + 0.5, node->row + 0.5};
    struct quad cell = homography_cell(&lattice->map, node->row, node->column);
    double pitch = sqrt(fabs(quad_area(&cell)));
    double ratio = node->region.area_px / (usual_area * pitch * pitch);

    return point_distance(homography_apply(&lattice->map, place), node->region.centre) <
               STRAY_OFF * pitch &&
           ratio < STRAY_AREA && ratio > 1 / STRAY_AREA;
}

/* The median of a region's area over its pitch's area. */
static enum status usual_area(const struct lattice *lattice, double *usual, struct error *error)
{
    double *values = memory_array(lattice->count, sizeof *values, "cell sizes", error);

    if (!values)
        return error->status;
    for (size_t i = 0; i < lattice->count; i++) {
        const struct lattice_node *node = &lattice->nodes[i];
        struct quad cell = homography_cell(&lattice->map, node->row, node->column);

        values[i] = node->region.area_px / fmax(fabs(quad_area(&cell)), 1);
    }
    *usual = statistics_median(values, lattice->count);
    free(values);
    return STATUS_OK;
}

static bool is_stray(const struct lattice *lattice, struct line line, double usual)
{
    size_t count = nodes_on(lattice, line);

    for (size_t i = 0; i < lattice->count; i++)
        if (count <= STRAY_NODES_MAX && on_line(&lattice->nodes[i], line) &&
            !fits_well(lattice, &lattice->nodes[i], usual))
            return true;
    return count == 0;
}

static void drop_line(struct lattice *lattice, struct line line)
{
    size_t kept = 0;

    for (size_t i = 0; i < lattice->count; i++) {
        struct lattice_node node = lattice->nodes[i];

        if (on_line(&node, line))
            continue;
        node.column -= line.is_column && line.index == 0;
        node.row -= !line.is_column && line.index == 0;
        lattice->nodes[kept++] = node;
    }
    lattice->count = kept;
    lattice->columns -= line.is_column;
    lattice->rows -= !line.is_column;
    if (line.index == 0) {
        struct homography shift = {{1, 0, line.is_column, 0, 1, !line.is_column, 0, 0, 1}};

        lattice->map = homography_compose(&lattice->map, &shift);
    }
}

enum status chart_extent_trim(struct lattice *lattice, struct error *error)
{
    double usual = 1;
    enum status status = usual_area(lattice, &usual, error);
    bool trimmed = true;

    while (!status && trimmed && lattice->count) {
        const struct line lines[] = {
            {true, 0}, {true, lattice->columns - 1}, {false, 0}, {false, lattice->rows - 1}};

        trimmed = false;
        for (int i = 0; !trimmed && i < 4; i++)
            if (is_stray(lattice, lines[i], usual)) {
                drop_line(lattice, lines[i]);
                trimmed = true;
            }
    }
    return status ? status : lattice_fit(lattice, error);
}

/* A quick look at a place of the lattice. */
static bool glance(const struct photo *photo, const struct warp *warp, struct point middle,
                   double half, struct rgb *rgb_linear)
{
    struct quad box = warp_box(warp, (struct point){middle.x - half, middle.y - half},
                               (struct point){middle.x + half, middle.y + half});

    return quad_is_convex(&box) &&
           sampling_glance(photo, quad_centre(&box),
                           (int)fmin(sqrt(quad_area(&box)) / 2, GLANCE_RADIUS_MAX_PX), rgb_linear);
}

static double brightness(const struct rgb *rgb_linear)
{
    return rgb_linear->channel[0] + rgb_linear->channel[1] + rgb_linear->channel[2];
}

static double dimmest_ratio(const struct rgb *rgb_linear, const struct rgb *white)
{
    double ratio = INFINITY;

    for (int k = 0; k < 3; k++)
        ratio = fmin(ratio, rgb_linear->channel[k] / white->channel[k]);
    return ratio;
}

/* Cells beside the sheet's edge have two gaps on it; those of the chart four, or three by a mark. */
static bool on_paper(const struct photo *photo, const struct warp *warp,
                     const struct lattice_node *node, const struct rgb *white)
{
    int count = 0;

    for (int i = 0; i < 4; i++) {
        struct point gap = {node->column + i % 2, node->row + i / 2};
        struct rgb rgb;

        count += glance(photo, warp, gap, GAP_HALF, &rgb) &&
                 dimmest_ratio(&rgb, white) > PAPER_RATIO_MIN;
    }
    return count >= PAPER_GAPS_MIN;
}

void chart_extent_keep_paper(const struct photo *photo, const struct warp *warp,
                             const struct card_pose *card, struct lattice *lattice)
{
    struct point white_at = quad_centre(&card->patch[CARD_FIRST_NEUTRAL]);
    struct rgb white;
    size_t kept = 0;

    if (!sampling_glance(photo, white_at, 2, &white))
        return; /* nothing to hold paper against */
    for (size_t i = 0; i < lattice->count; i++)
        if (on_paper(photo, warp, &lattice->nodes[i], &white))
            lattice->nodes[kept++] = lattice->nodes[i];
    lattice->count = kept;
}

bool chart_extent_inked(const struct photo *photo, const struct warp *warp, int column, int row)
{
    struct rgb cell, paper = {{0, 0, 0}};

    if (!glance(photo, warp, (struct point){column + 0.5, row + 0.5}, CELL_HALF, &cell))
        return false;
    for (int i = 0; i < 4; i++) {
        struct rgb gap;

        if (glance(photo, warp, (struct point){column + i % 2, row + i / 2}, GAP_HALF, &gap) &&
            brightness(&gap) > brightness(&paper))
            paper = gap;
    }
    for (int k = 0; k < 3; k++)
        if (cell.channel[k] < INKED_RATIO * paper.channel[k])
            return true;
    return false;
}

/* Places where the names file and the photo disagree about ink, with the chart laid so. */
static int disagreements(const struct photo *photo, const struct warp *warp,
                         const struct chart_wanted *wanted, int column, int row)
{
    int count = 0;

    for (int r = 0; r < wanted->rows; r++)
        for (int c = 0; c < wanted->columns; c++)
            count += chart_extent_inked(photo, warp, column + c, row + r) !=
                     wanted->named[r * wanted->columns + c];
    return count;
}

static enum status counts_differ(const struct photo *photo, const struct lattice *lattice,
                                 const struct chart_wanted *wanted, struct error *error)
{
    return error_set(error, STATUS_NOT_FOUND,
                     "%s: the sheet in the photo shows %d rows x %d columns of cells, but %d x %d "
                     "were given; check --names, --rows and --columns and that the photo stands "
                     "upright and shows the whole sheet, or give the chart's corners with "
                     "--chart-at",
                     photo->path, lattice->rows, lattice->columns, wanted->rows, wanted->columns);
}

/* Slide the lattice over the names file; where they agree best, and clearly so, it lies. */
static enum status slide(const struct photo *photo, const struct lattice *lattice,
                         const struct warp *warp, const struct chart_wanted *wanted,
                         struct chart_extent *extent, struct error *error)
{
    int best = CHART_CELLS_MAX, next = CHART_CELLS_MAX;

    for (int row = lattice->rows - wanted->rows; row <= 0; row++)
        for (int column = lattice->columns - wanted->columns; column <= 0; column++) {
            int count = disagreements(photo, warp, wanted, column, row);

            if (count < best) {
                next = best;
                best = count;
                extent->column = column;
                extent->row = row;
            } else if (count < next) {
                next = count;
            }
        }
    return best == 0 && next > best ? STATUS_OK : counts_differ(photo, lattice, wanted, error);
}

enum status chart_extent_find(const struct photo *photo, const struct lattice *lattice,
                              const struct warp *warp, const struct chart_wanted *wanted,
                              struct chart_extent *extent, struct error *error)
{
    int rows = wanted->rows ? wanted->rows : lattice->rows;
    int columns = wanted->columns ? wanted->columns : lattice->columns;

    *extent = (struct chart_extent){0, 0, rows, columns};
    if (rows == lattice->rows && columns == lattice->columns)
        return STATUS_OK;
    if (rows < lattice->rows || columns < lattice->columns || !wanted->named)
        return counts_differ(photo, lattice, wanted, error);
    return slide(photo, lattice, warp, wanted, extent, error);
}
