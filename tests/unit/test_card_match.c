#include "drawing.h"

#include "card_values.h"
#include "location/card_match.h"

#include <math.h>

/* Where a patch of a card lies in a window that begins at column 2 and row 1. */
static void assert_place(int turns, bool mirrored, int patch, int column, int row)
{
    const struct card_layout layout = {card_values_shape, 2, 1, turns, mirrored};
    int seen_column, seen_row;

    card_match_place(&layout, patch, &seen_column, &seen_row);
    assert_int_equal(seen_column, column);
    assert_int_equal(seen_row, row);
}

/* The brown patch is the card's first, the black one its last. */
static void a_patch_lies_where_the_cards_turn_takes_it(void **state)
{
    const int first = 0, sixth = 5, last = CARD_PATCHES - 1;

    (void)state;
    assert_place(0, false, first, 2, 1);
    assert_place(0, false, sixth, 7, 1);
    assert_place(1, false, first, 5, 1); /* a quarter turn clockwise: at the upper right */
    assert_place(1, false, sixth, 5, 6);
    assert_place(2, false, first, 7, 4);
    assert_place(2, false, last, 2, 1);
    assert_place(3, false, first, 2, 6);
    assert_place(3, false, last, 5, 1);
}

static void a_mirrored_card_runs_the_other_way_along_its_rows(void **state)
{
    (void)state;
    assert_place(0, true, 0, 7, 1);
    assert_place(0, true, 5, 2, 1);
    assert_place(0, true, 6, 7, 2);
}

static const struct drawing_grid grid = {
    {{{60, 50}, {360, 60}, {355, 260}, {58, 250}}}, CARD_COLUMNS, CARD_ROWS, 0.84};

/* The lattice of the patches that were seen, all but those of the first `missing`. */
static struct lattice lattice_seen(int missing, struct lattice_node nodes[CARD_PATCHES])
{
    struct lattice lattice = {.nodes = nodes, .lines = {CARD_COLUMNS, CARD_ROWS}};
    struct error error = {0};

    for (int i = missing; i < CARD_PATCHES; i++) {
        struct quad cell = drawing_cell(&grid, i / CARD_COLUMNS, i % CARD_COLUMNS);

        nodes[lattice.count++] =
            (struct lattice_node){{i % CARD_COLUMNS, i / CARD_COLUMNS},
                                  {quad_centre(&cell), quad_area(&cell), 1, 0, 1, 0.955}};
    }
    assert_int_equal(lattice_fit(&lattice, &error), STATUS_OK);
    return lattice;
}

/* The best match of a photo of the card whose patches have been put in another order. */
static struct card_matches match(const int *patch_at, int missing)
{
    struct card card = card_values();
    struct lattice_node nodes[CARD_PATCHES];
    struct lattice lattice = lattice_seen(missing, nodes);
    struct card_matches best = card_match_none();
    struct error error = {0};
    struct photo photo;

    drawing_create(420, 310, drawing_desk, &photo);
    for (int i = 0; i < CARD_PATCHES; i++) {
        struct quad cell = drawing_cell(&grid, i / CARD_COLUMNS, i % CARD_COLUMNS);

        drawing_quad(&photo, &cell,
                     drawing_lit(drawing_colour(card.patch[patch_at ? patch_at[i] : i]),
                                 (struct rgb){{0.8, 0.7, 0.5}}));
    }
    for (int mirrored = 0; mirrored < 2; mirrored++)
        assert_int_equal(card_match_lattice(&photo, &lattice, &card, mirrored, &best, &error),
                         STATUS_OK);
    photo_release(&photo);
    return best;
}

static void a_card_in_a_lamps_light_is_matched_upright_and_no_other_way_so_well(void **state)
{
    struct card_matches best = match(NULL, 0);

    (void)state;
    assert_int_equal(best.first.window.count, CARD_PATCHES);
    assert_int_equal(best.first.layout.turns, 0);
    assert_false(best.first.layout.mirrored);
    assert_true(best.first.recognition.misfit < 10); /* as a second card must fit */
    assert_true(best.first.next_best > 2 * best.first.recognition.misfit);
    assert_int_equal(best.second.window.count, 0);
}

static void a_card_is_matched_by_the_patches_that_make_regions(void **state)
{
    struct card_matches best = match(NULL, 7);

    (void)state;
    assert_int_equal(best.first.window.count, CARD_PATCHES - 7);
    assert_int_equal(best.first.layout.column, 0);
    assert_int_equal(best.first.layout.row, 0);
    assert_true(best.first.recognition.misfit < 10); /* as a second card must fit */
}

static void colours_in_another_order_are_no_card(void **state)
{
    int shuffled[CARD_PATCHES];
    struct card_matches best;

    (void)state;
    for (int i = 0; i < CARD_PATCHES; i++) /* 7 and 24 share no factor: each patch stands once */
        shuffled[i] = (7 * i + 5) % CARD_PATCHES;
    best = match(shuffled, 0);
    assert_true(best.first.recognition.misfit > 12);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_patch_lies_where_the_cards_turn_takes_it),
        cmocka_unit_test(a_mirrored_card_runs_the_other_way_along_its_rows),
        cmocka_unit_test(a_card_in_a_lamps_light_is_matched_upright_and_no_other_way_so_well),
        cmocka_unit_test(a_card_is_matched_by_the_patches_that_make_regions),
        cmocka_unit_test(colours_in_another_order_are_no_card),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
