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

/* The line next to an outer one, inwards. */
static struct line inner_of(struct line line)
{
    return (struct line){line.is_column, line.index == 0 ? 1 : line.index - 1};
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

static bool is_bare_paper(const struct photo *photo, const struct lattice *lattice,
                          const struct warp *warp, struct line line)
{
    int places = line.is_column ? lattice->rows : lattice->columns;
    int bare = 0;

    for (int i = 0; i < places; i++)
        bare += line.is_column ? ink_look(photo, warp, line.index, i) == INK_NONE
                               : ink_look(photo, warp, i, line.index) == INK_NONE;
    return bare >= BARE_FRACTION * places;
}

static bool lies_before(const struct lattice_node *node, struct line line)
{
    return (line.is_column ? node->column : node->row) < line.index;
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
                                              const struct lattice_node *node, bool is_column)
{
    const struct lattice_node *best = NULL;

    for (size_t i = 0; i < lattice->count; i++) {
        const struct lattice_node *other = &lattice->nodes[i];
        bool before = is_column ? other->row == node->row && other->column < node->column
                                : other->column == node->column && other->row < node->row;

        if (before &&
            (!best || (is_column ? other->column > best->column : other->row > best->row)))
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
        const struct lattice_node *other = node_before(lattice, node, line.is_column);

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

    for (int is_column = 0; !status && !rest->nodes && is_column < 2; is_column++) {
        int last = (is_column ? lattice->columns : lattice->rows) - 1;

        for (int index = 1; !status && !rest->nodes && index <= last; index++) {
            struct line line = {is_column, index};

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

    *map = (struct ink_map){slack, lattice->columns + 2 * slack, lattice->rows + 2 * slack, NULL};
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

/* Where a place of the turned lattice lies in the lattice as found. */
static void turn_back(const struct lattice *lattice, int turns, int *column, int *row)
{
    int c = *column, r = *row;

    switch (turns) {
    case 1:
        *column = lattice->columns - 1 - r;
        *row = c;
        break;
    case 2:
        *column = lattice->columns - 1 - c;
        *row = lattice->rows - 1 - r;
        break;
    case 3:
        *column = r;
        *row = lattice->rows - 1 - c;
        break;
    default:
        break;
    }
}

/* Places where the names file and the photo disagree about ink, with the sheet laid so. */
static int disagreements(const struct lattice *lattice, const struct ink_map *map,
                         const struct chart_wanted *wanted, const struct fit *fit)
{
    int count = 0;

    for (int r = 0; r < wanted->rows; r++)
        for (int c = 0; c < wanted->columns; c++) {
            int column = c + fit->column, row = r + fit->row;
            enum ink ink;

            turn_back(lattice, fit->turns, &column, &row);
            column += map->slack;
            row += map->slack;
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
        int columns = turns % 2 ? lattice->rows : lattice->columns;
        int rows = turns % 2 ? lattice->columns : lattice->rows;

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
                     photo->path, lattice->rows, lattice->columns, rows, columns);
}

/* Whether the best fit can be trusted: it agrees with the photo, and no other does as well. */
static enum status judge(const struct photo *photo, const struct lattice *lattice,
                         const struct chart_wanted *wanted, const struct fit *best, int next,
                         struct error *error)
{
    int cells = wanted->rows * wanted->columns;
    bool exact = best->column == 0 && best->row == 0 && best->turns % 2 == 0
                     ? lattice->rows == wanted->rows && lattice->columns == wanted->columns
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

/* The same gaps, counted from the other end. */
static struct lattice_gaps reversed(const struct lattice_gaps *gaps, int lines)
{
    struct lattice_gaps turned = {.count = gaps->count};

    for (int i = 0; i < gaps->count; i++) {
        turned.before[i] = lines - gaps->before[gaps->count - 1 - i];
        turned.extra[i] = gaps->extra[gaps->count - 1 - i];
    }
    return turned;
}

static void turn_gaps(struct lattice *lattice, int turns)
{
    struct lattice_gaps columns = lattice->column_gaps, rows = lattice->row_gaps;
    bool columns_reversed = turns == 1 || turns == 2, rows_reversed = turns == 2 || turns == 3;

    columns = columns_reversed ? reversed(&columns, lattice->columns) : columns;
    rows = rows_reversed ? reversed(&rows, lattice->rows) : rows;
    lattice->column_gaps = turns % 2 ? rows : columns;
    lattice->row_gaps = turns % 2 ? columns : rows;
}

/* Count the lattice's columns and rows afresh, from the sheet's own top left. */
static void turn_lattice(struct lattice *lattice, int turns)
{
    struct point far = lattice_plane(&lattice->column_gaps, &lattice->row_gaps,
                                     (struct point){lattice->columns, lattice->rows});
    const struct homography turned[TURNS] = {{{1, 0, 0, 0, 1, 0, 0, 0, 1}},
                                             {{0, -1, far.x, 1, 0, 0, 0, 0, 1}},
                                             {{-1, 0, far.x, 0, -1, far.y, 0, 0, 1}},
                                             {{0, 1, 0, -1, 0, far.y, 0, 0, 1}}};
    struct lattice before = *lattice;

    turn_gaps(lattice, turns);
    if (turns % 2) {
        lattice->columns = before.rows;
        lattice->rows = before.columns;
    }
    for (size_t i = 0; i < lattice->count; i++) /* turning back by the rest is turning on */
        turn_back(lattice, (TURNS - turns) % TURNS, &lattice->nodes[i].column,
                  &lattice->nodes[i].row);
    lattice->map = homography_compose(&before.map, &turned[turns]);
}

static enum status fit_names(const struct photo *photo, const struct chart_wanted *wanted,
                             struct lattice *lattice, struct chart_extent *extent,
                             struct error *error)
{
    struct fit best = {.disagreements = CHART_CELLS_MAX};
    int next = CHART_CELLS_MAX;
    int larger = wanted->rows > wanted->columns ? wanted->rows : wanted->columns;
    int smaller = lattice->rows < lattice->columns ? lattice->rows : lattice->columns;
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
    turn_lattice(lattice, best.turns);
    *extent = (struct chart_extent){best.column, best.row, wanted->rows, wanted->columns};
    return STATUS_OK;
}

enum status chart_extent_find(const struct photo *photo, const struct chart_wanted *wanted,
                              struct lattice *lattice, struct chart_extent *extent,
                              struct error *error)
{
    int rows = wanted->rows ? wanted->rows : lattice->rows;
    int columns = wanted->columns ? wanted->columns : lattice->columns;

    if (wanted->named)
        return fit_names(photo, wanted, lattice, extent, error);
    *extent = (struct chart_extent){0, 0, rows, columns};
    if (rows != lattice->rows || columns != lattice->columns)
        return counts_differ(photo, lattice, rows, columns, error);
    return STATUS_OK;
}
