#include "location/chart_pose.h"

#include "base/memory.h"
#include "cell_box.h"
#include "chart_choice.h"
#include "chart_extent.h"
#include "leftover.h"
#include "outline.h"
#include "warp.h"

#include <math.h>
#include <stdbool.h>
#include <stdlib.h>
#include <string.h>

#define LEFTOVER_MIN 2      /* cells beside the chart that make its rows and columns doubtful */
#define OWN_OFF_MAX 0.04    /* of the side: an outline this like the others is its cell's own */
#define UNLIKE_OFF_MIN 0.08 /* and one this unlike them, with no edge near them, is none */
#define HALF_DEFAULT 0.42   /* of the pitch, where no region tells how much of it a cell fills */

void chart_pose_release(struct chart_pose *pose)
{
    free(pose->outline);
    free(pose->seen);
    free(pose->corner_error);
    memset(pose, 0, sizeof *pose);
}

static enum status allocate_cells(struct chart_pose *pose, struct error *error)
{
    size_t count = (size_t)pose->rows * (size_t)pose->columns;

    pose->outline = memory_array(count, sizeof *pose->outline, "the chart's cells", error);
    pose->seen = memory_array(count, sizeof *pose->seen, "the chart's cells", error);
    pose->corner_error =
        memory_array(count, sizeof *pose->corner_error, "the chart's cells", error);
    if (!pose->outline || !pose->seen || !pose->corner_error)
        return error->status;
    for (size_t i = 0; i < count; i++)
        pose->corner_error[i] = INFINITY;
    return STATUS_OK;
}

/* A region as it would be seen if it filled an outline evenly: its moments are those of the two
 * half-sides, each a third of its square. */
static struct region region_of_outline(const struct quad *outline)
{
    const struct point *c = outline->corner;
    struct point u =
        point_scale(point_subtract(point_add(c[1], c[2]), point_add(c[0], c[3])), 0.25);
    struct point v =
        point_scale(point_subtract(point_add(c[2], c[3]), point_add(c[0], c[1])), 0.25);

    return (struct region){.centre = quad_centre(outline),
                           .area_px = quad_area(outline),
                           .xx = (u.x * u.x + v.x * v.x) / 3,
                           .xy = (u.x * u.y + v.x * v.y) / 3,
                           .yy = (u.y * u.y + v.y * v.y) / 3,
                           .compactness = 1};
}

/* Lay every cell of the chart by the lattice, in the usual size. */
static void place_cells(const struct warp *warp, const struct chart_extent *extent,
                        const struct cell_box *usual, struct chart_pose *pose)
{
    for (int i = 0; i < pose->rows * pose->columns; i++) {
        struct cell_box box = *usual;

        box.middle = (struct point){i % pose->columns + extent->column + 0.5,
                                    i / pose->columns + extent->row + 0.5};
        if (!pose->seen[i])
            pose->outline[i] = cell_box_outline(warp, &box);
    }
}

/* Lay the cells that were seen by their own regions, then by their own edges; and put what their
 * edges say back into the lattice's nodes. */
static void place_seen(const struct photo *photo, const struct warp *warp,
                       const struct chart_extent *extent, struct lattice *lattice,
                       struct chart_pose *pose)
{
    for (size_t i = 0; i < lattice->count; i++) {
        struct lattice_node *node = &lattice->nodes[i];
        int row = node->at[AXIS_ROW] - extent->row;
        int column = node->at[AXIS_COLUMN] - extent->column;
        int cell = row * pose->columns + column;
        struct cell_box box = cell_box_of_node(warp, node);
        struct quad outline = cell_box_outline(warp, &box);

        if (row < 0 || column < 0 || row >= pose->rows || column >= pose->columns)
            continue;
        if (outline_refine(photo, &outline_of_region, &outline, &pose->corner_error[cell]))
            node->region = region_of_outline(&outline);
        pose->outline[cell] = outline;
        pose->seen[cell] = true;
    }
}

/* How far an outline is off a box of the lattice, in the box's half sides. */
static double off_box(const struct warp *warp, const struct cell_box *box,
                      const struct quad *outline)
{
    struct quad wanted = cell_box_outline(warp, box);
    double side = sqrt(fabs(quad_area(&wanted))), off = 0;

    for (int i = 0; i < 4; i++)
        off = fmax(off, point_distance(wanted.corner[i], outline->corner[i]) / side);
    return off;
}

/* Look again, near to where cells like it have their edges, where a cell's outline is unlike
 * theirs: pale ink has weaker edges than what is drawn or written about it. */
static void settle_seen(const struct photo *photo, const struct warp *warp,
                        const struct chart_extent *extent, const struct cell_box *usual,
                        struct chart_pose *pose)
{
    for (int i = 0; i < pose->rows * pose->columns; i++) {
        struct cell_box box = *usual;
        struct quad outline;

        box.middle = (struct point){i % pose->columns + extent->column + 0.5,
                                    i / pose->columns + extent->row + 0.5};
        if (!pose->seen[i] || (isfinite(pose->corner_error[i]) &&
                               off_box(warp, &box, &pose->outline[i]) < OWN_OFF_MAX))
            continue;
        outline = cell_box_outline(warp, &box);
        if (outline_refine(photo, &outline_near, &outline, &pose->corner_error[i]) ||
            off_box(warp, &box, &pose->outline[i]) > UNLIKE_OFF_MIN)
            pose->outline[i] = outline;
    }
}

static void set_corners(struct chart_pose *pose)
{
    const struct quad *cells = pose->outline;
    int last = pose->rows * pose->columns - 1;

    pose->corners =
        (struct quad){{cells[0].corner[0], cells[pose->columns - 1].corner[1],
                       cells[last].corner[2], cells[last - pose->columns + 1].corner[3]}};
}

static enum status pose_from_lattice(const struct photo *photo, const struct chart_extent *extent,
                                     struct lattice *lattice, struct chart_pose *pose,
                                     struct error *error)
{
    struct cell_box usual = {{0, 0}, {HALF_DEFAULT, HALF_DEFAULT}};
    struct warp warp;
    enum status status = warp_fit(lattice, &warp, error);

    pose->rows = extent->rows;
    pose->columns = extent->columns;
    if (!status)
        status = allocate_cells(pose, error);
    if (!status) {
        place_seen(photo, &warp, extent, lattice, pose);
        status = warp_fit(lattice, &warp, error);
    }
    if (!status)
        status = cell_box_usual(lattice, &warp, &usual, error);
    if (!status) {
        settle_seen(photo, &warp, extent, &usual, pose);
        place_cells(&warp, extent, &usual, pose);
        set_corners(pose);
    }
    return status;
}

static enum status pose_from_chosen(const struct photo *photo, const struct chart_wanted *wanted,
                                    struct lattice *lattice, struct chart_pose *pose,
                                    struct error *error)
{
    struct chart_extent extent = {0};
    enum status status = chart_extent_find(photo, wanted, lattice, &extent, error);

    if (!status)
        status = pose_from_lattice(photo, &extent, lattice, pose, error);
    return status;
}

static enum status no_chart(const struct photo *photo, const struct chart_choices *choices,
                            const struct chart_wanted *wanted, struct error *error)
{
    if (!choices->count)
        return error_set(error, STATUS_NOT_FOUND,
                         "%s: the card is there, but no chart: cells of ink in rows and columns "
                         "on white paper were wanted; photograph the whole sheet sharply, or "
                         "give its corners with --chart-at, --rows and --columns",
                         photo->path);
    return error_set(error, STATUS_NOT_FOUND,
                     "%s: chart number %d was asked for, but the photo shows %d; charts are "
                     "counted from the left, or from above",
                     photo->path, wanted->number, choices->count);
}

/* Whether the chart might go on past what was found: nobody told its rows and columns, or it was
 * joined of groups, some of which may have been missed. */
static bool may_go_on(const struct chart_wanted *wanted, const struct lattice *chart)
{
    return (!wanted->named && !wanted->rows) || chart->gaps[AXIS_COLUMN].count ||
           chart->gaps[AXIS_ROW].count;
}

/* Refuse a chart that seems to go on past what was found, where nobody told how far it goes. */
static enum status refuse_leftover(const struct photo *photo, const struct regions *regions,
                                   const struct card_pose cards[2], const struct lattice *chart,
                                   struct error *error)
{
    int rows = chart->lines[AXIS_ROW], columns = chart->lines[AXIS_COLUMN], count = 0;
    enum status status = leftover_count(photo, regions, cards, chart, &count, error);

    if (!status && count >= LEFTOVER_MIN && 2 * count >= (rows < columns ? rows : columns))
        status = error_set(error, STATUS_NOT_FOUND,
                           "%s: %d rows x %d columns of cells were found, but %d more like them "
                           "lie beside; tell how many there are with --names or --rows and "
                           "--columns, give the corners with --chart-at, or clear away what is no "
                           "part of the sheet",
                           photo->path, rows, columns, count);
    return status;
}

/* Place one of the charts behind those placed before. */
static enum status place_choice(const struct photo *photo, const struct chart_choice *choice,
                                const struct chart_wanted *wanted, struct chart_poses *charts,
                                struct error *error)
{
    struct chart_pose *pose = &charts->items[charts->count];
    enum status status = pose_from_chosen(photo, wanted, choice->lattice, pose, error);

    if (status == STATUS_NOT_FOUND) {
        chart_pose_release(pose);
        return status;
    }
    pose->number = choice->number;
    charts->count++;
    return status;
}

/* Place the chart asked for; unnumbered, the one with the most ink that is as it was described. */
static enum status place_wanted(const struct photo *photo, const struct chart_choices *choices,
                                const struct chart_wanted *wanted, struct chart_poses *charts,
                                struct error *error)
{
    struct error first = {0};

    for (int i = 0; i < choices->count; i++) {
        enum status status;

        if (wanted->number && wanted->number != choices->items[i].number)
            continue;
        status = place_choice(photo, &choices->items[i], wanted, charts, error);
        if (status != STATUS_NOT_FOUND)
            return status;
        first = first.status ? first : *error;
    }
    if (!first.status)
        return no_chart(photo, choices, wanted, error);
    *error = first;
    return first.status;
}

static const struct chart_choice *choice_numbered(const struct chart_choices *choices, int number)
{
    int i = 0;

    while (i < choices->count - 1 && choices->items[i].number != number)
        i++;
    return &choices->items[i];
}

static enum status place_every(const struct photo *photo, const struct chart_choices *choices,
                               const struct chart_wanted *wanted, struct chart_poses *charts,
                               struct error *error)
{
    enum status status = STATUS_OK;

    for (int number = 1; !status && number <= choices->count; number++)
        status = place_choice(photo, choice_numbered(choices, number), wanted, charts, error);
    return status;
}

enum status chart_pose_find(const struct photo *photo, const struct regions *regions,
                            const struct card_pose cards[2], const struct chart_wanted *wanted,
                            struct chart_poses *charts, struct error *error)
{
    struct chart_choices choices = {0};
    enum status status = chart_choice_find(photo, regions, cards, &choices, error);

    if (!status)
        status = wanted->every && choices.count
                     ? place_every(photo, &choices, wanted, charts, error)
                     : place_wanted(photo, &choices, wanted, charts, error);
    for (int i = 0; i < charts->count; i++) {
        const struct lattice *chart = choice_numbered(&choices, charts->items[i].number)->lattice;

        charts->items[i].charts = choices.count;
        if (!status && may_go_on(wanted, chart))
            status = refuse_leftover(photo, regions, cards, chart, error);
    }
    chart_choices_release(&choices);
    return status;
}

enum status chart_pose_from_corners(const struct photo *photo, const struct quad *corners,
                                    const struct chart_wanted *wanted, struct chart_pose *pose,
                                    struct error *error)
{
    const struct cell_box usual = {{0, 0}, {HALF_DEFAULT, HALF_DEFAULT}};
    const struct chart_extent extent = {0, 0, wanted->rows, wanted->columns};
    const double rim = 0.5 - HALF_DEFAULT;
    struct warp warp = {.reach = 1};
    struct point from[4] = {{rim, rim},
                            {wanted->columns - rim, rim},
                            {wanted->columns - rim, wanted->rows - rim},
                            {rim, wanted->rows - rim}};
    struct homography_points points = {from, corners->corner, NULL, 4, 0};
    enum status status;

    if (wanted->rows < 1 || wanted->columns < 1)
        return error_set(error, STATUS_USAGE,
                         "%s: --chart-at says where the chart lies, but not how many rows and "
                         "columns it has; add --rows and --columns, or --names",
                         photo->path);
    status = homography_fit(&points, &warp.map, error);
    pose->rows = wanted->rows;
    pose->columns = wanted->columns;
    pose->given = true;
    pose->number = pose->charts = 1;
    if (!status)
        status = allocate_cells(pose, error);
    if (!status) {
        place_cells(&warp, &extent, &usual, pose);
        set_corners(pose);
    }
    return status;
}
