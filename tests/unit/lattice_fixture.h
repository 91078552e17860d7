#ifndef WOAD_TESTS_LATTICE_FIXTURE_H
#define WOAD_TESTS_LATTICE_FIXTURE_H

/* Lattices of the cells of a drawn grid, each cell seen as the region that fills it evenly. */

#include "drawing.h"

#include "vision/lattice.h"

#define FIXTURE_NODES 64

/* Source: the second moments of an evenly filled parallelogram are those of its half sides, each a
 * third of its square. */
static inline struct region fixture_region(const struct quad *outline)
{
    const struct point *c = outline->corner;
    struct point across =
        point_scale(point_subtract(point_add(c[1], c[2]), point_add(c[0], c[3])), 0.25);
    struct point down =
        point_scale(point_subtract(point_add(c[2], c[3]), point_add(c[0], c[1])), 0.25);

    return (struct region){.centre = quad_centre(outline),
                           .area_px = quad_area(outline),
                           .xx = (across.x * across.x + down.x * down.x) / 3,
                           .xy = (across.x * across.y + down.x * down.y) / 3,
                           .yy = (across.y * across.y + down.y * down.y) / 3,
                           .compactness = 0.955};
}

/* A lattice of all cells of a grid, with its map; `nodes` is its room. */
static inline struct lattice fixture_lattice(const struct drawing_grid *grid,
                                             struct lattice_node nodes[FIXTURE_NODES])
{
    struct lattice lattice = {.nodes = nodes, .lines = {grid->columns, grid->rows}};
    struct error error = {0};

    for (int i = 0; i < grid->columns * grid->rows; i++) {
        int column = i % grid->columns, row = i / grid->columns;
        struct quad cell = drawing_cell(grid, row, column);

        nodes[lattice.count++] = (struct lattice_node){{column, row}, fixture_region(&cell)};
    }
    if (lattice_fit(&lattice, &error))
        fail_msg("%s", error.message);
    return lattice;
}

#endif
