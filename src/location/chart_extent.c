#include "chart_extent.h"

#include "base/memory.h"
#include "ink.h"
#include "likeness.h"
#include "warp.h"
#include "values/statistics.h"

#include <math.h>
#include <stdbool.h>
#include <stdlib.h>

#define STRAY_NODES_MAX 1 /* an outer line with no more nodes must fit well to stay */
#define STRAY_OFF 0.1     /* of the pitch */
#define STRAY_AREA 1.4
#define BARE_FRACTION                                                                              \
    0.7                 /* of an empty line's places that must be paper for the sheet to go on     \
                         */
#define PARTED_MIN 2    /* pairs of cells that must be seen parted */
#define PARTED_PART 0.6 /* of all pairs along a line */
#define TURNS 4
#define TURN_MARGIN 2          /* cells by which a turned reading must agree better than upright */
#define DISAGREE_FRACTION 0.15 /* of the cells: a names file off by more is another sheet's */
#define DISAGREE_MIN 2

/* One outer line of the lattice. */
struct line {
    enum axis axis;
    int index;
};

static bool on_line(const struct lattice_node *node, struct line line)
{
    return node->at[line.axis] == line.index;
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
    struct quad cell = homography_cell(&lattice->map, node->at[AXIS_ROW], node->at[AXIS_COLUMN]);
    double pitch = sqrt(fabs(quad_area(&cell)));
    double ratio = node->region.area_px / (usual_area * pitch * pitch);

    return point_distance(homography_apply(&lattice->map, lattice_node_middle(node)),
                          node->region.centre) < STRAY_OFF * pitch &&
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
        struct quad cell =
            homography_cell(&lattice->map, node->at[AXIS_ROW], node->at[AXIS_COLUMN]);

        values[i] = node->region.area_px / fmax(fabs(quad_area(&cell)), 1);
    }
    *usual = statistics_median(values, lattice->count);
    free(values);
    return STATUS_OK;
}

/* The line next to an outer one, inwards. */
static struct line inner_of(struct line line)
{
    return (struct line){line.axis, line.index == 0 ? 1 : line.index - 1};
}

/* An outer line with no region, with one that does not fit well, or with one beyond a bare line. */
static bool is_stray(const struct lattice *lattice, struct line line, double usual)
{
    size_t count = nodes_on(lattice, line);

    if (count == 0 || (count <= STRAY_NODES_MAX && nodes_on(lattice, inner_of(line)) == 0))
        return true;
    for (size_t i = 0; i < lattice->count; i++)
        if (count <= STRAY_NODES_MAX && on_line(&lattice->nodes[i], line) &&
            !fits_well(lattice, &lattice->nodes[i], usual))
            return true;
    return false;
}

static void drop_line(struct lattice *lattice, struct line line)
{
    size_t kept = 0;

    for (size_t i = 0; i < lattice->count; i++) {
        struct lattice_node node = lattice->nodes[i];

        if (on_line(&node, line))
            continue;
        node.at[line.axis] -= line.index == 0;
        lattice->nodes[kept++] = node;
    }
    lattice->count = kept;
    lattice->lines[line.axis]--;
    if (line.index == 0) {
        struct homography shift = {
            {1, 0, line.axis == AXIS_COLUMN, 0, 1, line.axis == AXIS_ROW, 0, 0, 1}};

        lattice->map = homography_compose(&lattice->map, &shift);
    }
}

enum status chart_extent_trim(struct lattice *lattice, struct error *error)
{
    double usual = 1;
    enum status status = usual_area(lattice, &usual, error);
    bool trimmed = true;

    while (!status && trimmed && lattice->count) {
        const struct line lines[] = {{AXIS_COLUMN, 0},
                                     {AXIS_COLUMN, lattice->lines[AXIS_COLUMN] - 1},
                                     {AXIS_ROW, 0},
                                     {AXIS_ROW, lattice->lines[AXIS_ROW] - 1}};

        trimmed = false;
        for (int i = 0; !trimmed && i < 4; i++)
            if (is_stray(lattice, lines[i], usual)) {
                drop_line(lattice, lines[i]);
                trimmed = true;
            }
    }
    return status ? status : lattice_fit(lattice, error);
}

static bool is_bare_paper(const struct photo *photo, const struct lattice *lattice,
                          const struct warp *warp, struct line line)
{
    int places = lattice->lines[axis_crossing(line.axis)];
    int bare = 0, at[AXES];

    at[line.axis] = line.index;
    for (int i = 0; i < places; i++) {
        at[axis_crossing(line.axis)] = i;
        bare += ink_look(photo, warp, at[AXIS_COLUMN], at[AXIS_ROW]) == INK_NONE;
    }
    return bare >= BARE_FRACTION * places;
}

static bool lies_before(const struct lattice_node *node, struct line line)
{
    return node->at[line.axis] < line.index;
}

static size_t nodes_before(const struct lattice *lattice, struct line line)
{
    size_t count = 0;

    for (size_t i = 0; i < lattice->count; i++)
        count += lies_before(&lattice->nodes[i], line);
    return count;
}

/* An empty line with nodes on both sides and between them no bare paper. */
static bool parts_sheets(const struct likeness *likeness, struct line line)
{
    size_t before = nodes_before(likeness->lattice, line);

    return nodes_on(likeness->lattice, line) == 0 && before > 0 &&
           before < likeness->lattice->count &&
           !is_bare_paper(likeness->photo, likeness->lattice, &likeness->warp, line);
}

/* The first node before another one along its row or column; NULL if there is none. */
static const struct lattice_node *node_before(const struct lattice *lattice,
                                              const struct lattice_node *node, enum axis axis)
{
    const struct lattice_node *best = NULL;
    enum axis crossing = axis_crossing(axis);

    for (size_t i = 0; i < lattice->count; i++) {
        const struct lattice_node *other = &lattice->nodes[i];

        if (other->at[crossing] == node->at[crossing] && other->at[axis] < node->at[axis] &&
            (!best || other->at[axis] > best->at[axis]))
            best = other;
    }
    return best;
}

/* Whether between a line's cells and those before them mostly no paper lies. Not asked of the outer
 * lines: a sheet has more than one. */
static bool is_parted(const struct likeness *likeness, struct line line)
{
    const struct lattice *lattice = likeness->lattice;
    int parted = 0, count = 0;

    for (size_t i = 0; i < lattice->count; i++) {
        const struct lattice_node *node = &lattice->nodes[i];
        const struct lattice_node *other = node_before(lattice, node, line.axis);

        if (!on_line(node, line) || !other)
            continue;
        count++;
        parted += likeness_paper_between(likeness, other->region.centre, node->region.centre) ==
                  PAPER_PARTED;
    }
    return count >= PARTED_MIN && parted > PARTED_PART * count;
}

/* Part the nodes before a line from the others: those on the side that has more of them stay. */
static enum status cut_at(struct lattice *lattice, struct line line, struct lattice *rest,
                          struct error *error)
{
    size_t before = nodes_before(lattice, line), kept = 0;
    bool keep_before = before * 2 >= lattice->count;

    *rest = *lattice;
    rest->count = 0;
    rest->nodes = memory_array(lattice->count, sizeof *rest->nodes, "a lattice", error);
    if (!rest->nodes)
        return error->status;
    for (size_t i = 0; i < lattice->count; i++) {
        if (lies_before(&lattice->nodes[i], line) == keep_before)
            lattice->nodes[kept++] = lattice->nodes[i];
        else
            rest->nodes[rest->count++] = lattice->nodes[i];
    }
    lattice->count = kept;
    return STATUS_OK;
}

enum status chart_extent_split(const struct photo *photo, const struct card_pose cards[2],
                               struct lattice *lattice, struct lattice *rest, struct error *error)
{
    struct likeness likeness;
    enum status status = likeness_of_lattice(photo, cards, lattice, &likeness, error);

    for (int axis = AXIS_ROW; !status && !rest->nodes && axis >= AXIS_COLUMN; axis--) {
        int last = lattice->lines[axis] - 1;

        for (int index = 1; !status && !rest->nodes && index <= last; index++) {
            struct line line = {(enum axis)axis, index};

            if (parts_sheets(&likeness, line) ||
                (index > 1 && index < last && is_parted(&likeness, line)))
                status = cut_at(lattice, line, rest, error);
        }
    }
    return status;
}

/* What is seen of ink on a lattice and around it, as far as a larger sheet might reach. */
struct ink_map {
    int slack;
    int columns;
    int rows;
    enum ink *places;
};

static enum status ink_map_create(const struct photo *photo, const struct lattice *lattice,
                                  int slack, struct ink_map *map, struct error *error)
{
    struct warp warp;
    enum status status = warp_fit(lattice, &warp, error);

    *map = (struct ink_map){slack, lattice->lines[AXIS_COLUMN] + 2 * slack,
                            lattice->lines[AXIS_ROW] + 2 * slack, NULL};
    if (status)
        return status;
    map->places = memory_array((size_t)map->columns * (size_t)map->rows, sizeof *map->places,
                               "ink places", error);
    if (!map->places)
        return error->status;
    for (int row = 0; row < map->rows; row++)
        for (int column = 0; column < map->columns; column++)
            map->places[row * map->columns + column] =
                ink_look(photo, &warp, column - slack, row - slack);
    return STATUS_OK;
}

/* One way to lay the sheet on the lattice: turned, then shifted. */
struct fit {
    int turns; /* quarter turns clockwise from upright */
    int column;
    int row;
    int disagreements;
};

/* Places where the names file and the photo disagree about ink, with the sheet laid so. */
static int disagreements(const struct lattice *lattice, const struct ink_map *map,
                         const struct chart_wanted *wanted, const struct fit *fit)
{
    int count = 0;

    for (int r = 0; r < wanted->rows; r++)
        for (int c = 0; c < wanted->columns; c++) {
            int at[AXES] = {c + fit->column, r + fit->row}, column, row;
            enum ink ink;

            lattice_turn_back(lattice->lines, fit->turns, at);
            column = at[AXIS_COLUMN] + map->slack;
            row = at[AXIS_ROW] + map->slack;
            if (column < 0 || row < 0 || column >= map->columns || row >= map->rows)
                continue;
            ink = map->places[row * map->columns + column];
            count += ink == (wanted->named[r * wanted->columns + c] ? INK_NONE : INK_SEEN);
        }
    return count;
}

/* Keep the better fit in `best`; `next` is the count of the best other one. */
static void keep_better(const struct fit *fit, struct fit *best, int *next)
{
    if (fit->disagreements < best->disagreements) {
        *next = best->disagreements;
        *best = *fit;
    } else if (fit->disagreements < *next) {
        *next = fit->disagreements;
    }
}

/* Lay the sheet in every turn and place that holds the whole lattice. */
static void try_fits(const struct lattice *lattice, const struct ink_map *map,
                     const struct chart_wanted *wanted, struct fit *best, int *next)
{
    for (int turns = 0; turns < TURNS; turns++) {
        int columns = turns % 2 ? lattice->lines[AXIS_ROW] : lattice->lines[AXIS_COLUMN];
        int rows = turns % 2 ? lattice->lines[AXIS_COLUMN] : lattice->lines[AXIS_ROW];

        for (int row = rows - wanted->rows; row <= 0; row++)
            for (int column = columns - wanted->columns; column <= 0 && wanted->columns >= columns;
                 column++) {
                struct fit fit = {turns, column, row, 0};

                fit.disagreements = disagreements(lattice, map, wanted, &fit);
                keep_better(&fit, best, next);
            }
    }
}

static enum status counts_differ(const struct photo *photo, const struct lattice *lattice, int rows,
                                 int columns, struct error *error)
{
    return error_set(error, STATUS_NOT_FOUND,
                     "%s: the sheet in the photo shows %d rows x %d columns of cells, but %d x %d "
                     "were given; check --names, --rows and --columns and that the photo stands "
                     "upright and shows the whole sheet, or give the chart's corners with "
                     "--chart-at",
                     photo->path, lattice->lines[AXIS_ROW], lattice->lines[AXIS_COLUMN], rows,
                     columns);
}

/* Whether the best fit can be trusted: it agrees with the photo, and no other does as well. */
static enum status judge(const struct photo *photo, const struct lattice *lattice,
                         const struct chart_wanted *wanted, const struct fit *best, int next,
                         struct error *error)
{
    int cells = wanted->rows * wanted->columns;
    bool exact = best->column == 0 && best->row == 0 && best->turns % 2 == 0
                     ? lattice->lines[AXIS_ROW] == wanted->rows &&
                           lattice->lines[AXIS_COLUMN] == wanted->columns
                     : false;

    if (best->disagreements > cells)
        return counts_differ(photo, lattice, wanted->rows, wanted->columns, error);
    if (best->disagreements > DISAGREE_MIN &&
        best->disagreements > (int)(DISAGREE_FRACTION * cells))
        return error_set(error, STATUS_NOT_FOUND,
                         "%s: the names file does not fit the sheet: in %d of %d cells it names "
                         "an ink where the photo shows bare paper, or none where it shows ink; "
                         "check that it is this sheet's, and that the photo stands upright",
                         photo->path, best->disagreements, cells);
    if (best->turns == 0 && exact)
        return STATUS_OK;
    if (next < best->disagreements + TURN_MARGIN)
        return counts_differ(photo, lattice, wanted->rows, wanted->columns, error);
    return STATUS_OK;
}

static enum status fit_names(const struct photo *photo, const struct chart_wanted *wanted,
                             struct lattice *lattice, struct chart_extent *extent,
                             struct error *error)
{
    struct fit best = {.disagreements = CHART_CELLS_MAX};
    int next = CHART_CELLS_MAX;
    int larger = wanted->rows > wanted->columns ? wanted->rows : wanted->columns;
    int smaller = lattice->lines[AXIS_ROW] < lattice->lines[AXIS_COLUMN]
                      ? lattice->lines[AXIS_ROW]
                      : lattice->lines[AXIS_COLUMN];
    struct ink_map map;
    enum status status =
        ink_map_create(photo, lattice, larger > smaller ? larger - smaller : 0, &map, error);

    if (!status) {
        try_fits(lattice, &map, wanted, &best, &next);
        status = judge(photo, lattice, wanted, &best, next, error);
    }
    free(map.places);
    if (status)
        return status;
    lattice_turn(lattice, best.turns);
    *extent = (struct chart_extent){best.column, best.row, wanted->rows, wanted->columns};
    return STATUS_OK;
}

enum status chart_extent_find(const struct photo *photo, const struct chart_wanted *wanted,
                              struct lattice *lattice, struct chart_extent *extent,
                              struct error *error)
{
    int rows = wanted->rows ? wanted->rows : lattice->lines[AXIS_ROW];
    int columns = wanted->columns ? wanted->columns : lattice->lines[AXIS_COLUMN];

    if (wanted->named)
        return fit_names(photo, wanted, lattice, extent, error);
    *extent = (struct chart_extent){0, 0, rows, columns};
    if (rows != lattice->lines[AXIS_ROW] || columns != lattice->lines[AXIS_COLUMN])
        return counts_differ(photo, lattice, rows, columns, error);
    return STATUS_OK;
}
