#include "lattice_fixture.h"

#include "location/ink.h"

#include <math.h>

#define BLANK 8 /* the cell that holds no ink */

/* A sheet of 4 x 3 cells of ink on the desk, one of them blank, and a white patch beside it. */
static const struct drawing_grid grid = {{{{60, 60}, {260, 70}, {255, 215}, {58, 210}}}, 4, 3, 0.7};
static const struct quad white = {{{300, 60}, {330, 60}, {330, 90}, {300, 90}}};
static const struct rgb plain_light = {{1, 1, 1}}, dim_light = {{0.5, 0.5, 0.5}};

static struct card_pose card_beside(void)
{
    struct card_pose card = {.found = true};

    card.patch[CARD_FIRST_NEUTRAL] = white;
    return card;
}

static void draw_sheet(struct photo *photo, struct lab ink, struct rgb light)
{
    drawing_create(400, 300, drawing_lit(drawing_desk, light), photo);
    drawing_ground(photo, &grid, 0.3, drawing_lit(drawing_paper, light));
    drawing_quad(photo, &white, drawing_lit((struct rgb){{0.9, 0.9, 0.9}}, light));
    for (int i = 0; i < grid.columns * grid.rows; i++) {
        struct quad cell = drawing_cell(&grid, i / grid.columns, i % grid.columns);

        if (i != BLANK)
            drawing_quad(photo, &cell, drawing_lit(drawing_colour(ink), light));
    }
}

static struct warp warp_of(const struct lattice *lattice)
{
    struct warp warp;
    struct error error = {0};

    assert_int_equal(warp_fit(lattice, &warp, &error), STATUS_OK);
    return warp;
}

static void ink_is_told_from_a_blank_cell(void **state)
{
    const struct lab inks[] = {{35, 10, -35}, {84, -12, 8}, {88, -4, 30}};
    struct lattice_node nodes[FIXTURE_NODES];
    struct lattice lattice = fixture_lattice(&grid, nodes);
    struct warp warp = warp_of(&lattice);

    (void)state;
    for (int i = 0; i < 6; i++) {
        struct photo photo;

        draw_sheet(&photo, inks[i % 3], i < 3 ? plain_light : dim_light);
        for (int cell = 0; cell < grid.columns * grid.rows; cell++)
            assert_int_equal(ink_look(&photo, &warp, cell % grid.columns, cell / grid.columns),
                             cell == BLANK ? INK_NONE : INK_SEEN);
        photo_release(&photo);
    }
}

static void what_lies_off_the_photo_is_not_called_blank(void **state)
{
    struct lattice_node nodes[FIXTURE_NODES];
    struct lattice lattice = fixture_lattice(&grid, nodes);
    struct warp warp = warp_of(&lattice);
    struct photo photo;

    (void)state;
    draw_sheet(&photo, (struct lab){35, 10, -35}, plain_light);
    assert_int_equal(ink_look(&photo, &warp, -3, 1), INK_UNSURE);
    photo_release(&photo);
}

static void a_region_is_ink_if_paper_lies_around_it(void **state)
{
    struct lattice_node nodes[FIXTURE_NODES];
    struct photo photo;

    (void)state;
    fixture_lattice(&grid, nodes);
    draw_sheet(&photo, (struct lab){84, -12, 8}, plain_light);
    assert_true(ink_in_region(&photo, &nodes[0].region));
    assert_false(ink_in_region(&photo, &nodes[BLANK].region));
    photo_release(&photo);
}

static size_t kept_of_sheet(struct rgb light, struct rgb ground)
{
    struct lattice_node nodes[FIXTURE_NODES];
    struct lattice lattice = fixture_lattice(&grid, nodes);
    struct warp warp = warp_of(&lattice);
    struct card_pose card = card_beside();
    struct error error = {0};
    struct photo photo;

    drawing_create(400, 300, drawing_lit(drawing_desk, light), &photo);
    drawing_ground(&photo, &grid, 0.3, drawing_lit(ground, light));
    drawing_quad(&photo, &white, drawing_lit((struct rgb){{0.9, 0.9, 0.9}}, light));
    assert_int_equal(ink_keep_on_paper(&photo, &warp, &card, &lattice, &error), STATUS_OK);
    photo_release(&photo);
    return lattice.count;
}

static void cells_on_paper_stay_and_squares_on_the_desk_go(void **state)
{
    (void)state;
    assert_int_equal(kept_of_sheet(plain_light, drawing_paper), 12);
    assert_int_equal(kept_of_sheet(dim_light, drawing_paper), 12);
    assert_int_equal(kept_of_sheet(plain_light, drawing_desk), 0);
    assert_int_equal(kept_of_sheet(plain_light, (struct rgb){{0.6, 0.5, 0.1}}),
                     0); /* yellow felt */
}

/* A label or a drawn line may stand in one of the gaps at its corners. */
static void the_paper_beside_a_cell_is_the_brightest_of_its_gaps(void **state)
{
    struct quad label = drawing_part(&grid, (struct point){0.85, 0.85}, (struct point){1.15, 1.15});
    struct lattice_node nodes[FIXTURE_NODES];
    struct lattice lattice = fixture_lattice(&grid, nodes);
    struct warp warp = warp_of(&lattice);
    struct photo photo;
    struct rgb paper;

    (void)state;
    draw_sheet(&photo, (struct lab){35, 10, -35}, plain_light);
    drawing_quad(&photo, &label, drawing_frame);
    assert_true(ink_paper_beside(&photo, &warp, 1, 1, &paper));
    for (int k = 0; k < 3; k++)
        drawing_assert_near(paper.channel[k], drawing_paper.channel[k], 0.01);
    assert_false(ink_paper_beside(&photo, &warp, -9, 1, &paper));
    photo_release(&photo);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(ink_is_told_from_a_blank_cell),
        cmocka_unit_test(what_lies_off_the_photo_is_not_called_blank),
        cmocka_unit_test(a_region_is_ink_if_paper_lies_around_it),
        cmocka_unit_test(cells_on_paper_stay_and_squares_on_the_desk_go),
        cmocka_unit_test(the_paper_beside_a_cell_is_the_brightest_of_its_gaps),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
