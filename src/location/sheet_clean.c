#include "sheet_clean.h"

#include "base/memory.h"
#include "sheet_paper.h"
#include "values/statistics.h"

#include <math.h>
#include <stdbool.h>
#include <stdlib.h>

#define STRAY_NODES_MAX 1 /* an outer line with no more nodes must fit well to stay */
#define STRAY_OFF 0.1     /* of the pitch */
#define STRAY_AREA 1.4
#define BARE_FRACTION                                                                              \
    0.7                     /* of an empty line's places that must be paper for the sheet to go on \
                             */
#define PARTED_MIN 2        /* pairs of cells that must be seen parted */
#define PARTED_PART 0.6     /* of all pairs along a line */
#define MISFIT_NODES_MIN 9  /* fewer do not fix a map that one could be a misfit of */
#define OFF_MAX 0.3         /* of the pitch: a cell's middle lies no farther off its place */
#define CARD_COVERED_PART 6 /* one patch in so many may lie within a chart's bounds: a corner */

/* A column or row. */
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

/* Take off outer columns and rows that only a stray region holds, and count columns and rows afresh
 * from 0. */
static enum status trim(struct lattice *lattice, struct error *error)
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

static bool is_bare_paper(const struct sheet *sheet, struct line line)
{
    int places = sheet->lattice.lines[axis_crossing(line.axis)];
    int bare = 0, at[AXES];

    at[line.axis] = line.index;
    for (int i = 0; i < places; i++) {
        at[axis_crossing(line.axis)] = i;
        bare += sheet_ink(sheet, at[AXIS_COLUMN], at[AXIS_ROW]) == INK_NONE;
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
static bool parts_sheets(const struct sheet *sheet, struct line line)
{
    size_t before = nodes_before(&sheet->lattice, line);

    return nodes_on(&sheet->lattice, line) == 0 && before > 0 && before < sheet->lattice.count &&
           !is_bare_paper(sheet, line);
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
static bool is_parted(const struct sheet *sheet, struct line line)
{
    const struct lattice *lattice = &sheet->lattice;
    int parted = 0, count = 0;

    for (size_t i = 0; i < lattice->count; i++) {
        const struct lattice_node *node = &lattice->nodes[i];
        const struct lattice_node *other = node_before(lattice, node, line.axis);

        if (!on_line(node, line) || !other)
            continue;
        count++;
        parted +=
            sheet_paper_between(sheet, other->region.centre, node->region.centre) == PAPER_PARTED;
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

/* Cut a sheet where no paper lies between one column or row of regions and the next, nor on empty
 * ones between: what lies beyond is another sheet. The part with more regions stays; `rest`, zeroed
 * before, gets the other. */
static enum status cut_once(struct sheet *sheet, struct lattice *rest, struct error *error)
{
    enum status status = STATUS_OK;

    for (int axis = AXIS_ROW; !status && !rest->nodes && axis >= AXIS_COLUMN; axis--) {
        int last = sheet->lattice.lines[axis] - 1;

        for (int index = 1; !status && !rest->nodes && index <= last; index++) {
            struct line line = {(enum axis)axis, index};

            if (parts_sheets(sheet, line) || (index > 1 && index < last && is_parted(sheet, line)))
                status = cut_at(&sheet->lattice, line, rest, error);
        }
    }
    return status;
}

/* Cut off what runs on into other sheets; these parts become sheets of their own. */
static enum status split(struct sheet *sheet, struct sheets *sheets, struct error *error)
{
    enum status status = STATUS_OK;
    bool cut = true;

    while (!status && cut && sheet->lattice.count >= SHEET_NODES_MIN) {
        struct lattice rest = {0};

        status = sheet_fit(sheet, error);
        if (!status)
            status = cut_once(sheet, &rest, error);
        cut = rest.nodes != NULL;
        if (!status && rest.count >= SHEET_NODES_MIN)
            status = sheets_add(sheet->view, &rest, sheets, error);
        else
            free(rest.nodes);
    }
    return status;
}

/* Drop the nodes that are not where, or not of the size, that cells are: clutter at the rim. */
static void drop_misfits(struct sheet *sheet)
{
    size_t kept = 0;

    for (size_t i = 0; i < sheet->lattice.count; i++) {
        struct lattice_node *node = &sheet->lattice.nodes[i];
        struct cell_box box = sheet_cell_box(sheet, node);
        double off = point_distance(box.middle, lattice_node_middle(node));

        if (off < OFF_MAX && sheet_cell_is_usual(sheet, &box))
            sheet->lattice.nodes[kept++] = *node;
    }
    sheet->lattice.count = kept;
}

/* Whether a sheet reaches over the card: then it runs from sheet to sheet, and is no chart. */
static bool covers_card(const struct sheet *sheet)
{
    struct quad bounds = sheet_bounds(sheet);
    const struct card_pose *card = &sheet->view->cards[0];
    int covered = 0;

    for (int i = 0; i < card->shape.patches; i++)
        covered += quad_contains(&bounds, quad_centre(&card->patch[i]));
    return covered * CARD_COVERED_PART > card->shape.patches;
}

static enum status drop_what_is_no_cell(struct sheet *sheet, struct error *error)
{
    enum status status = sheet_keep_on_paper(sheet, error);

    if (!status && sheet->lattice.count >= SHEET_NODES_MIN)
        status = lattice_fit(&sheet->lattice, error);
    if (!status)
        status = sheet_fit(sheet, error);
    if (!status && sheet->lattice.count >= MISFIT_NODES_MIN)
        drop_misfits(sheet);
    return status;
}

enum status sheet_clean(struct sheet *sheet, struct sheets *sheets, struct error *error)
{
    enum status status = drop_what_is_no_cell(sheet, error);

    if (!status)
        status = split(sheet, sheets, error);
    if (!status && sheet->lattice.count >= SHEET_NODES_MIN)
        status = trim(&sheet->lattice, error);
    if (status == STATUS_NOT_FOUND) { /* no plane fits what is left: no chart */
        sheet->lattice.count = 0;
        status = STATUS_OK;
    }
    if (!status)
        status = sheet_fit(sheet, error);
    if (!status && covers_card(sheet))
        sheet->lattice.count = 0;
    return status;
}
