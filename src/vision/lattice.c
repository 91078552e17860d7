#include "vision/lattice.h"

#include "base/memory.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define FIT_STIFFNESS 0.02 /* a lattice of six must not pass for steep perspective */
#define FIT_ROUNDS 3       /* each with less weight on the nodes that lie off the map */
#define OFF_SCALE 0.05     /* of a region's side: past it a node's weight falls */

double lattice_gaps_plane(const struct lattice_gaps *gaps, double at)
{
    double plane = at;

    for (int i = 0; i < gaps->count; i++)
        plane += at >= gaps->before[i] ? gaps->extra[i] : 0;
    return plane;
}

struct point lattice_plane(const struct lattice_gaps gaps[AXES], struct point at)
{
    return (struct point){lattice_gaps_plane(&gaps[AXIS_COLUMN], at.x),
                          lattice_gaps_plane(&gaps[AXIS_ROW], at.y)};
}

enum axis axis_crossing(enum axis axis)
{
    return axis == AXIS_COLUMN ? AXIS_ROW : AXIS_COLUMN;
}

struct point lattice_node_middle(const struct lattice_node *node)
{
    return (struct point){node->at[AXIS_COLUMN] + 0.5, node->at[AXIS_ROW] + 0.5};
}

void lattice_turn_back(const int lines[AXES], int turns, int at[AXES])
{
    int column = at[AXIS_COLUMN], row = at[AXIS_ROW];
    int last_column = lines[AXIS_COLUMN] - 1, last_row = lines[AXIS_ROW] - 1;

    switch (turns) {
    case 1:
        at[AXIS_COLUMN] = last_column - row;
        at[AXIS_ROW] = column;
        break;
    case 2:
        at[AXIS_COLUMN] = last_column - column;
        at[AXIS_ROW] = last_row - row;
        break;
    case 3:
        at[AXIS_COLUMN] = row;
        at[AXIS_ROW] = last_row - column;
        break;
    default:
        break;
    }
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

/* Turn the counts and gaps of both axes. */
static void turn_lines(struct lattice *lattice, int turns)
{
    const bool backwards[AXES] = {turns == 1 || turns == 2, turns == 2 || turns == 3};
    struct lattice before = *lattice;

    for (enum axis axis = AXIS_COLUMN; axis < AXES; axis++) {
        enum axis to = turns % 2 ? axis_crossing(axis) : axis;

        lattice->lines[to] = before.lines[axis];
        lattice->gaps[to] =
            backwards[axis] ? reversed(&before.gaps[axis], before.lines[axis]) : before.gaps[axis];
    }
}

void lattice_turn(struct lattice *lattice, int turns)
{
    struct point far = lattice_plane(
        lattice->gaps, (struct point){lattice->lines[AXIS_COLUMN], lattice->lines[AXIS_ROW]});
    const struct homography turned[] = {{{1, 0, 0, 0, 1, 0, 0, 0, 1}},
                                        {{0, -1, far.x, 1, 0, 0, 0, 0, 1}},
                                        {{-1, 0, far.x, 0, -1, far.y, 0, 0, 1}},
                                        {{0, 1, 0, -1, 0, far.y, 0, 0, 1}}};

    turn_lines(lattice, turns);
    for (size_t i = 0; i < lattice->count; i++) /* turning back by the rest is turning on */
        lattice_turn_back(lattice->lines, (4 - turns) % 4, lattice->nodes[i].at);
    lattice->map = homography_compose(&lattice->map, &turned[turns]);
}

enum status lattice_fit(struct lattice *lattice, struct error *error)
{
    struct point *from = memory_array(lattice->count, sizeof *from * 2, "a lattice fit", error);
    double *weight = memory_array(lattice->count, sizeof *weight, "a lattice fit", error);
    struct point *to = from ? from + lattice->count : NULL;
    struct homography_points points = {from, to, weight, lattice->count, FIT_STIFFNESS};
    enum status status = from && weight ? STATUS_OK : error->status;

    for (size_t i = 0; !status && i < lattice->count; i++) {
        const struct lattice_node *node = &lattice->nodes[i];

        from[i] = lattice_plane(lattice->gaps, lattice_node_middle(node));
        to[i] = node->region.centre;
        weight[i] = 1;
    }
    for (int round = 0; !status && round < FIT_ROUNDS; round++) {
        status = homography_fit(&points, &lattice->map, error);
        for (size_t i = 0; !status && i < lattice->count; i++) {
            double off = point_distance(homography_apply(&lattice->map, from[i]), to[i]) /
                         sqrt(lattice->nodes[i].region.area_px);

            weight[i] = 1 / (1 + off * off / (OFF_SCALE * OFF_SCALE));
        }
    }
    free(from);
    free(weight);
    return status;
}

void lattices_release(struct lattices *lattices)
{
    for (size_t i = 0; i < lattices->count; i++)
        free(lattices->items[i].nodes);
    free(lattices->items);
    memset(lattices, 0, sizeof *lattices);
}
