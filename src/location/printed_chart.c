#include "location/printed_chart.h"

#include "location/pose.h"

#include <math.h>

#define RULE_MM 7.0 /* kept free at the left for the upright rule */
#define CARD_GAP_MM 4.0
#define STRIP_GAP_MM 2.0 /* between the tags' strips and the cells */
#define GREY_MM 5.0      /* a grey's side: 27 pixels in a 2-megapixel photo of A4 */
#define GREY_RIM_MM 2.0

/* --- laying out ------------------------------------------------------------------------------- */

/* The area the cells share, names and all. */
static struct point area_of(const struct printed_wish *wish)
{
    double strips = 2 * (PRINTED_MARGIN_MM + PRINTED_TAG_MM + STRIP_GAP_MM);
    double card = wish->card_mm.y > 0 ? wish->card_mm.y + CARD_GAP_MM : 0;

    return (struct point){wish->page_mm.x - 2 * PRINTED_MARGIN_MM - RULE_MM,
                          wish->page_mm.y - strips - card};
}

/* How many fit into a length, each with what lies between it and the next. */
static int count_fitting(double length_mm, double size_mm, double between_mm, int most)
{
    int count = (int)floor((length_mm + PRINTED_GAP_MM) / (size_mm + between_mm) + 1e-9);

    return count < 0 ? 0 : count < most ? count : most;
}

/* The frame's side that makes a number of them fill a length. */
static double filling(double length_mm, int count, double between_mm)
{
    return (length_mm + PRINTED_GAP_MM) / count - between_mm;
}

/* From a frame to the one below it. */
static double below_of(const struct printed_wish *wish)
{
    return PRINTED_NAME_MM + wish->flap_mm + PRINTED_GAP_MM;
}

static enum status check_fit(const struct printed_wish *wish, struct point area,
                             const struct printed_chart *chart, struct error *error)
{
    double below = below_of(wish);

    if (wish->card_mm.x > area.x)
        return error_set(error, STATUS_USAGE,
                         "a page of %g x %g mm has no place for a card of %g x %g mm; ask for a "
                         "larger page, or a smaller place",
                         wish->page_mm.x, wish->page_mm.y, wish->card_mm.x, wish->card_mm.y);
    if (chart->rows >= 1 && chart->columns >= 1 && chart->cell_mm.x >= PRINTED_CELL_MM_MIN &&
        chart->cell_mm.y >= PRINTED_CELL_MM_MIN && chart->rows * chart->columns <= CHART_CELLS_MAX)
        return STATUS_OK;
    return error_set(
        error, STATUS_USAGE,
        "a page of %g x %g mm can't hold such cells: at least %g mm wide, it has room for %d rows "
        "of %d; ask for fewer, a larger page, or a smaller place for the card",
        wish->page_mm.x, wish->page_mm.y, PRINTED_CELL_MM_MIN,
        count_fitting(area.y, PRINTED_CELL_MM_MIN, below, CHART_ROWS_MAX),
        count_fitting(area.x, PRINTED_CELL_MM_MIN, PRINTED_GAP_MM, CHART_COLUMNS_MAX));
}

enum status printed_chart_lay_out(const struct printed_wish *wish, struct printed_chart *chart,
                                  struct error *error)
{
    struct point area = area_of(wish);
    double size = wish->cell_mm > 0 ? wish->cell_mm : PRINTED_CELL_MM;
    double below = below_of(wish);
    double widest, highest;
    enum status status;

    *chart = (struct printed_chart){.page_mm = wish->page_mm, .card_mm = wish->card_mm};
    chart->columns = wish->columns ? wish->columns
                                   : count_fitting(area.x, size, PRINTED_GAP_MM, CHART_COLUMNS_MAX);
    chart->rows = wish->rows ? wish->rows : count_fitting(area.y, size, below, CHART_ROWS_MAX);
    widest = filling(area.x, chart->columns, PRINTED_GAP_MM);
    highest = filling(area.y, chart->rows, below);
    chart->cell_mm = (struct point){widest, highest};
    if (wish->cell_mm > 0)
        chart->cell_mm = (struct point){fmin(size, widest), fmin(size, highest)};
    else /* square, as far as both sides allow */
        chart->cell_mm.x = chart->cell_mm.y = fmin(widest, highest);
    status = check_fit(wish, area, chart, error);
    chart->pitch_mm = (struct point){widest + PRINTED_GAP_MM, highest + below};
    chart->first_mm = (struct point){PRINTED_MARGIN_MM + RULE_MM + (widest - chart->cell_mm.x) / 2,
                                     PRINTED_MARGIN_MM + PRINTED_TAG_MM + STRIP_GAP_MM};
    return status;
}

/* --- where things stand ----------------------------------------------------------------------- */

static struct quad quad_of(struct point corner, double width, double height)
{
    return (struct quad){{corner,
                          {corner.x + width, corner.y},
                          {corner.x + width, corner.y + height},
                          {corner.x, corner.y + height}}};
}

struct quad printed_chart_cell(const struct printed_chart *chart, int row, int column)
{
    struct point corner = {chart->first_mm.x + (column - 1) * chart->pitch_mm.x,
                           chart->first_mm.y + (row - 1) * chart->pitch_mm.y};

    return quad_of(corner, chart->cell_mm.x, chart->cell_mm.y);
}

struct point printed_chart_tag(const struct printed_chart *chart, int corner)
{
    double far_x = chart->page_mm.x - PRINTED_MARGIN_MM - PRINTED_TAG_MM;
    double far_y = chart->page_mm.y - PRINTED_MARGIN_MM - PRINTED_TAG_MM;

    return (struct point){corner == 1 || corner == 2 ? far_x : PRINTED_MARGIN_MM,
                          corner >= 2 ? far_y : PRINTED_MARGIN_MM};
}

struct point printed_chart_card(const struct printed_chart *chart)
{
    return (struct point){(chart->page_mm.x - chart->card_mm.x) / 2,
                          chart->page_mm.y - PRINTED_MARGIN_MM - PRINTED_TAG_MM - STRIP_GAP_MM -
                              chart->card_mm.y};
}

struct quad printed_chart_ring(const struct printed_chart *chart, int corner)
{
    const double module = PRINTED_TAG_MM / TAG_MODULES;
    const double rim = module * (TAG_MODULES - TAG_RING) / 2;
    struct point tag = printed_chart_tag(chart, corner);

    return quad_of((struct point){tag.x + rim, tag.y + rim}, TAG_RING * module, TAG_RING * module);
}

/* The strip between the lower tags begins here. */
static struct point lower_strip(const struct printed_chart *chart)
{
    struct point tag = printed_chart_tag(chart, 3);

    return (struct point){tag.x + PRINTED_TAG_MM + STRIP_GAP_MM, tag.y};
}

struct quad printed_chart_grey_field(const struct printed_chart *chart, bool within_dark)
{
    const double width = PRINTED_GREYS * (GREY_MM + GREY_RIM_MM) + GREY_RIM_MM;
    struct point corner = lower_strip(chart);

    corner.x += within_dark ? 0 : width + GREY_RIM_MM;
    return quad_of(corner, width, GREY_MM + 2 * GREY_RIM_MM);
}

struct quad printed_chart_grey(const struct printed_chart *chart, bool within_dark, int grey)
{
    struct point corner = printed_chart_grey_field(chart, within_dark).corner[0];

    corner.x += GREY_RIM_MM + grey * (GREY_MM + GREY_RIM_MM);
    corner.y += GREY_RIM_MM;
    return quad_of(corner, GREY_MM, GREY_MM);
}

/* --- finding it again ------------------------------------------------------------------------- */

struct quad printed_chart_seen(const struct homography *from_page, const struct quad *on_page)
{
    struct quad seen;

    for (int i = 0; i < 4; i++)
        seen.corner[i] = homography_apply(from_page, on_page->corner[i]);
    return seen;
}

/* The corners of the rings seen, on the page and in the photo. */
static size_t pair_corners(const struct printed_chart *chart, const struct tags *tags, int sheet,
                           struct point *page, struct point *photo)
{
    size_t count = 0;

    for (int i = 0; i < tags->count && count < 16; i++) {
        struct quad ring = printed_chart_ring(chart, tags->items[i].corner);

        if (tags->items[i].sheet != sheet)
            continue;
        for (int k = 0; k < 4; k++) {
            page[count] = ring.corner[k];
            photo[count++] = tags->items[i].ring.corner[k];
        }
    }
    return count;
}

static struct quad corners_of(const struct printed_chart *chart, const struct homography *map)
{
    const struct quad corner[4] = {printed_chart_cell(chart, 1, 1),
                                   printed_chart_cell(chart, 1, chart->columns),
                                   printed_chart_cell(chart, chart->rows, chart->columns),
                                   printed_chart_cell(chart, chart->rows, 1)};
    struct quad corners;

    for (int i = 0; i < 4; i++)
        corners.corner[i] = homography_apply(map, corner[i].corner[i]);
    return corners;
}

void printed_chart_pose_update(const struct printed_chart *chart, struct printed_pose *pose)
{
    struct point middle = point_scale(chart->page_mm, 0.5);

    pose->corners = corners_of(chart, &pose->from_page);
    pose->scale =
        point_distance(homography_apply(&pose->from_page, middle),
                       homography_apply(&pose->from_page, (struct point){middle.x + 1, middle.y}));
}

bool printed_chart_find(const struct printed_chart *chart, const struct tags *tags, int sheet,
                        struct printed_pose *pose)
{
    struct point page[16], photo[16];
    struct homography_points points = {.from = page, .to = photo};
    struct error unfound;

    points.count = pair_corners(chart, tags, sheet, page, photo);
    pose->tags = (int)points.count / 4;
    pose->sure = pose->tags >= 3;
    if (!pose->tags || homography_fit(&points, &pose->from_page, &unfound))
        return false;
    printed_chart_pose_update(chart, pose);
    return quad_is_convex(&pose->corners);
}
