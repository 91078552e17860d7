#ifndef WOAD_TESTS_SHEET_FIXTURE_H
#define WOAD_TESTS_SHEET_FIXTURE_H

/* A drawn sheet of ink on a desk with a card's white patch, and what location sees of it. */

#include "lattice_fixture.h"

#include "location/sheet.h"

#include <math.h>

static const struct quad fixture_white = {{{600, 20}, {630, 20}, {630, 50}, {600, 50}}};
static const struct quad fixture_card = {{{560, 10}, {635, 10}, {635, 60}, {560, 60}}};
static const struct rgb fixture_plain = {{1, 1, 1}};

struct fixture_sheet {
    struct drawing_grid grid;
    struct photo photo;
    struct regions regions; /* of the cells that were inked */
    struct card_pose cards[2];
    struct view view;
    struct sheet sheet;
};

/* Draw the paper and the card's white; cells are yet to be inked. */
static inline void fixture_sheet_draw(const struct drawing_grid *grid, struct rgb paper,
                                      struct rgb light, struct fixture_sheet *drawn)
{
    size_t room = (size_t)grid->columns * (size_t)grid->rows;

    memset(drawn, 0, sizeof *drawn);
    drawn->grid = *grid;
    drawing_create(640, 480, drawing_lit(drawing_desk, light), &drawn->photo);
    drawing_ground(&drawn->photo, grid, 0.4, drawing_lit(paper, light));
    drawing_quad(&drawn->photo, &fixture_white, drawing_lit((struct rgb){{0.9, 0.9, 0.9}}, light));
    drawn->cards[0] =
        (struct card_pose){.found = true, .shape = card_values_shape, .corners = fixture_card};
    drawn->cards[0].patch[CARD_FIRST_NEUTRAL] = fixture_white;
    drawn->regions.items = calloc(room, sizeof *drawn->regions.items);
    drawn->view = (struct view){&drawn->photo, &drawn->regions, drawn->cards};
}

/* Ink a cell, and see it as a region. */
static inline void fixture_sheet_ink(struct fixture_sheet *drawn, int row, int column,
                                     struct rgb ink)
{
    struct quad cell = drawing_cell(&drawn->grid, row, column);

    drawing_quad(&drawn->photo, &cell, ink);
    drawn->regions.items[drawn->regions.count++] = fixture_region(&cell);
}

static inline void fixture_sheet_ink_all(struct fixture_sheet *drawn, struct rgb ink)
{
    for (int row = 0; row < drawn->grid.rows; row++)
        for (int column = 0; column < drawn->grid.columns; column++)
            fixture_sheet_ink(drawn, row, column, ink);
}

/* Strokes across a cell with as much paper between them, which are no region. */
static inline void fixture_sheet_hatch(struct fixture_sheet *drawn, int row, int column,
                                       int strokes, struct rgb ink)
{
    double margin = (1 - drawn->grid.fill) / 2;

    for (int i = 0; i < strokes; i++) {
        double low = row + margin + (i + 0.25) * drawn->grid.fill / strokes;
        struct quad stroke =
            drawing_part(&drawn->grid, (struct point){column + margin, low},
                         (struct point){column + 1 - margin, low + drawn->grid.fill / strokes / 2});

        drawing_quad(&drawn->photo, &stroke, ink);
    }
}

/* Let the sheet know of some of its columns and of its first rows. */
static inline void fixture_sheet_know_from(struct fixture_sheet *drawn, int first, int columns,
                                           int rows)
{
    struct lattice *lattice = &drawn->sheet.lattice;
    struct error error = {0};

    drawn->sheet.view = &drawn->view;
    lattice->lines[AXIS_COLUMN] = columns;
    lattice->lines[AXIS_ROW] = rows;
    lattice->nodes = calloc((size_t)columns * (size_t)rows, sizeof *lattice->nodes);
    assert_non_null(lattice->nodes);
    for (int i = 0; i < columns * rows; i++) {
        struct quad cell = drawing_cell(&drawn->grid, i / columns, first + i % columns);

        lattice->nodes[lattice->count++] =
            (struct lattice_node){{i % columns, i / columns}, fixture_region(&cell)};
    }
    assert_int_equal(lattice_fit(lattice, &error), STATUS_OK);
    assert_int_equal(sheet_fit(&drawn->sheet, &error), STATUS_OK);
}

static inline void fixture_sheet_know(struct fixture_sheet *drawn, int columns, int rows)
{
    fixture_sheet_know_from(drawn, 0, columns, rows);
}

static inline void fixture_sheet_release(struct fixture_sheet *drawn)
{
    sheet_release(&drawn->sheet);
    regions_release(&drawn->regions);
    photo_release(&drawn->photo);
}

#endif
