#include "location/chart_groups.h"

#include "base/memory.h"
#include "values/statistics.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define GAP_MIN 0.08 /* pitches that groups stand wider apart */
#define GAP_MAX 1.6
#define ASKEW_MAX 0.15   /* pitches a group may lie out of line */
#define SCATTER_MAX 0.25 /* pitches by which its regions may differ in where they put it */

/* Where one lattice lies on another's plane: steps from its own count to the other's. */
struct offset {
    double columns;
    double rows;
    double scatter;
};

static enum status offset_of(const struct lattice *lattice, const struct lattice *group,
                             struct offset *offset, struct error *error)
{
    struct homography inverse = homography_invert(&lattice->map);
    double *values = memory_array(group->count, 3 * sizeof *values, "a group of cells", error);
    double *columns = values, *rows = values ? values + group->count : NULL;
    double *off = values ? rows + group->count : NULL;

    if (!values)
        return error->status;
    for (size_t i = 0; i < group->count; i++) {
        const struct lattice_node *node = &group->nodes[i];
        struct point at = homography_apply(&inverse, node->region.centre);

        columns[i] = at.x - node->column - 0.5;
        rows[i] = at.y - node->row - 0.5;
    }
    offset->columns = statistics_median(columns, group->count);
    offset->rows = statistics_median(rows, group->count);
    for (size_t i = 0; i < group->count; i++)
        off[i] = fmax(fabs(columns[i] - offset->columns), fabs(rows[i] - offset->rows));
    offset->scatter = statistics_quantile(off, group->count, 0.9);
    free(values);
    return STATUS_OK;
}

/* One direction of joining: along the columns or along the rows. */
struct joint {
    bool joined;
    bool before;  /* the group comes first */
    double extra; /* pitches */
    int shift;    /* of the group's count across the joint */
};

/* The line of a lattice that a group's first line stands on, all of the group between the same
 * gaps; false if it stands on none. */
static bool line_of(const struct lattice_gaps *gaps, int lines, double offset, int group_lines,
                    int *line)
{
    for (*line = -group_lines; *line <= lines; ++*line) {
        double first = lattice_gaps_plane(gaps, *line + 0.5) - 0.5;
        double last = lattice_gaps_plane(gaps, *line + group_lines - 0.5) - group_lines + 0.5;

        if (fabs(first - offset) < ASKEW_MAX && fabs(last - offset) < ASKEW_MAX)
            return true;
    }
    return false;
}

/* Whether a group lies beyond one end of a lattice that reaches from 0 to `length` there. */
static struct joint joint_along(double along, double length, int group_lines)
{
    struct joint joint = {false};
    double behind = along - length, ahead = -along - group_lines;

    joint.before = ahead > behind;
    joint.extra = joint.before ? ahead : behind;
    joint.joined = joint.extra > GAP_MIN && joint.extra < GAP_MAX;
    return joint;
}

/* Note a gap, and move those behind it by the lines that came before. */
static bool add_gap(struct lattice_gaps *gaps, const struct joint *joint, int at, int moved)
{
    struct lattice_gaps joined = {0};

    if (gaps->count == LATTICE_GAPS_MAX)
        return false;
    if (joint->before) {
        joined.before[joined.count] = at;
        joined.extra[joined.count++] = joint->extra;
    }
    for (int i = 0; i < gaps->count; i++) {
        joined.before[joined.count] = gaps->before[i] + (joint->before ? moved : 0);
        joined.extra[joined.count++] = gaps->extra[i];
    }
    if (!joint->before) {
        joined.before[joined.count] = at;
        joined.extra[joined.count++] = joint->extra;
    }
    *gaps = joined;
    return true;
}

/* Put the group's nodes behind the lattice's, all moved to the joint count. */
static void merge_nodes(struct lattice *lattice, const struct lattice *group, bool by_columns,
                        const struct joint *joint)
{
    int own_along = joint->before ? (by_columns ? group->columns : group->rows) : 0;
    int group_along = joint->before ? 0 : (by_columns ? lattice->columns : lattice->rows);
    int own_across = joint->shift < 0 ? -joint->shift : 0;
    int group_across = joint->shift < 0 ? 0 : joint->shift;

    for (size_t i = 0; i < lattice->count; i++) {
        lattice->nodes[i].column += by_columns ? own_along : own_across;
        lattice->nodes[i].row += by_columns ? own_across : own_along;
    }
    for (size_t i = 0; i < group->count; i++) {
        struct lattice_node node = group->nodes[i];

        node.column += by_columns ? group_along : group_across;
        node.row += by_columns ? group_across : group_along;
        lattice->nodes[lattice->count++] = node;
    }
}

static void count_afresh(struct lattice *lattice)
{
    lattice->columns = lattice->rows = 0;
    for (size_t i = 0; i < lattice->count; i++) {
        const struct lattice_node *node = &lattice->nodes[i];

        lattice->columns = node->column >= lattice->columns ? node->column + 1 : lattice->columns;
        lattice->rows = node->row >= lattice->rows ? node->row + 1 : lattice->rows;
    }
}

static enum status join(struct lattice *lattice, const struct lattice *group, bool by_columns,
                        const struct joint *joint, struct error *error)
{
    struct lattice_gaps *gaps = by_columns ? &lattice->column_gaps : &lattice->row_gaps;
    int own = by_columns ? lattice->columns : lattice->rows;
    int other = by_columns ? group->columns : group->rows;
    struct lattice_node *nodes;

    if (!add_gap(gaps, joint, joint->before ? other : own, other))
        return STATUS_OK;
    nodes = memory_array(lattice->count + group->count, sizeof *nodes, "a lattice", error);
    if (!nodes)
        return error->status;
    memcpy(nodes, lattice->nodes, lattice->count * sizeof *nodes);
    free(lattice->nodes);
    lattice->nodes = nodes;
    merge_nodes(lattice, group, by_columns, joint);
    count_afresh(lattice);
    return lattice_fit(lattice, error);
}

enum status chart_groups_join(struct lattice *lattice, const struct lattice *group, bool *joined,
                              struct error *error)
{
    struct point far = lattice_plane(&lattice->column_gaps, &lattice->row_gaps,
                                     (struct point){lattice->columns, lattice->rows});
    struct offset offset = {0};
    struct joint beside, below;
    enum status status = offset_of(lattice, group, &offset, error);

    *joined = false;
    if (status || offset.scatter > SCATTER_MAX || group->column_gaps.count || group->row_gaps.count)
        return status;
    beside = joint_along(offset.columns, far.x, group->columns);
    below = joint_along(offset.rows, far.y, group->rows);
    beside.joined = beside.joined && line_of(&lattice->row_gaps, lattice->rows, offset.rows,
                                             group->rows, &beside.shift);
    below.joined = below.joined && line_of(&lattice->column_gaps, lattice->columns, offset.columns,
                                           group->columns, &below.shift);
    *joined = beside.joined != below.joined;
    if (!*joined)
        return STATUS_OK;
    return beside.joined ? join(lattice, group, true, &beside, error)
                         : join(lattice, group, false, &below, error);
}
