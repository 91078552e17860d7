#include "drawing.h"

#include "card_values.h"
#include "location/recognition.h"

#define TAKEN_FOR_A_CARD 16.0 /* delta E: what the program takes for a card at the worst */
#define BEYOND_DOUBT 10.0

static struct recognition fit_all(const struct rgb *colours)
{
    struct card card = card_values();
    bool known[CARD_PATCHES];

    for (int i = 0; i < CARD_PATCHES; i++)
        known[i] = true;
    return recognition_fit(colours, known, &card);
}

/* The card's colours in a light; what is brighter than the photo holds is clipped. */
static void card_colours(struct rgb light, struct rgb *colours)
{
    struct card card = card_values();

    for (int i = 0; i < CARD_PATCHES; i++) {
        colours[i] = drawing_lit(drawing_colour(card.patch[i]), light);
        for (int k = 0; k < 3; k++)
            colours[i].channel[k] = fmin(colours[i].channel[k], 1);
    }
}

/* --- the card ------------------------------------------------------------------------------- */

/* Cube roots and an affine map take up any light, to within what the photo's edges clip. */
static void any_tint_of_light_leaves_the_fit_as_it_is(void **state)
{
    static const struct rgb lights[] = {{{1, 0.62, 0.25}}, {{0.55, 0.8, 1}}, {{0.6, 1, 0.5}},
                                        {{1, 0.5, 0.8}},   {{1, 0.4, 0.12}}, {{0.3, 0.5, 0.95}}};
    struct rgb colours[CARD_PATCHES];
    double white_light;

    (void)state;
    card_colours((struct rgb){{1, 1, 1}}, colours);
    white_light = fit_all(colours).misfit;
    assert_true(white_light < BEYOND_DOUBT);
    for (size_t i = 0; i < sizeof lights / sizeof *lights; i++) {
        card_colours(lights[i], colours);
        drawing_assert_near(fit_all(colours).misfit, white_light, 0.1);
    }
}

static void any_exposure_leaves_the_fit_as_it_is(void **state)
{
    struct rgb colours[CARD_PATCHES];
    double full;

    (void)state;
    card_colours((struct rgb){{1, 1, 1}}, colours);
    full = fit_all(colours).misfit;
    for (double exposure = 0.5; exposure > 1.0 / 64; exposure /= 2) {
        card_colours((struct rgb){{exposure, exposure, exposure}}, colours);
        drawing_assert_near(fit_all(colours).misfit, full, 0.1);
    }
}

static void the_card_is_known_two_thirds_of_a_stop_over_exposed(void **state)
{
    struct rgb colours[CARD_PATCHES];

    (void)state;
    card_colours((struct rgb){{1.6, 1.6, 1.6}}, colours);
    assert_true(fit_all(colours).misfit < BEYOND_DOUBT);
}

/* A camera's own taste: contrast by a power, and its channels mixed. */
static void the_card_is_known_through_a_camera_s_curve_and_colours(void **state)
{
    struct rgb colours[CARD_PATCHES];

    (void)state;
    card_colours((struct rgb){{0.9, 0.9, 0.9}}, colours);
    for (int i = 0; i < CARD_PATCHES; i++) {
        struct rgb seen = colours[i];

        for (int k = 0; k < 3; k++)
            colours[i].channel[k] = pow(0.76 * seen.channel[k] + 0.14 * seen.channel[(k + 1) % 3] +
                                            0.1 * seen.channel[(k + 2) % 3],
                                        1.25);
    }
    assert_true(fit_all(colours).misfit < BEYOND_DOUBT);
}

static void with_eight_patches_covered_the_card_is_still_taken_for_one(void **state)
{
    (void)state;
    for (unsigned number = 0; number < 50; number++) {
        uint32_t seed = drawing_seed(number);
        bool covered[CARD_PATCHES] = {false};
        struct rgb colours[CARD_PATCHES];
        struct recognition seen;

        card_colours((struct rgb){{0.8, 0.6, 0.4}}, colours);
        for (int left = 8; left;) {
            int i = (int)(CARD_PATCHES * drawing_random(&seed));

            left -= !covered[i];
            covered[i] = true;
            colours[i] = (struct rgb){{0.35, 0.2, 0.13}}; /* a finger */
        }
        seen = fit_all(colours);
        assert_true(seen.misfit < TAKEN_FOR_A_CARD);
    }
}

static void patches_not_seen_are_left_out(void **state)
{
    struct card card = card_values();
    struct rgb colours[CARD_PATCHES];
    bool known[CARD_PATCHES];
    struct recognition seen;

    (void)state;
    card_colours((struct rgb){{0.8, 0.8, 0.8}}, colours);
    for (int i = 0; i < CARD_PATCHES; i++) {
        known[i] = i % 3 != 0;
        if (!known[i])
            colours[i] = (struct rgb){{0, 1, 0}};
    }
    seen = recognition_fit(colours, known, &card);
    assert_true(seen.misfit < BEYOND_DOUBT);
    for (int i = 0; i < CARD_PATCHES; i++)
        assert_true(known[i] ? seen.off[i] < 20 : seen.off[i] > 100);
}

/* --- what is no card ------------------------------------------------------------------------ */

/* The card's colours in another order: turned by half, mirrored, upside down. */
static void a_card_read_the_wrong_way_round_fits_clearly_worse(void **state)
{
    struct rgb colours[CARD_PATCHES], moved[3][CARD_PATCHES];

    (void)state;
    card_colours((struct rgb){{0.9, 0.6, 0.4}}, colours);
    for (int i = 0; i < CARD_PATCHES; i++) {
        int row = i / CARD_COLUMNS, column = i % CARD_COLUMNS;

        moved[0][i] = colours[CARD_PATCHES - 1 - i];
        moved[1][i] = colours[row * CARD_COLUMNS + CARD_COLUMNS - 1 - column];
        moved[2][i] = colours[(CARD_ROWS - 1 - row) * CARD_COLUMNS + column];
    }
    for (int i = 0; i < 3; i++)
        assert_true(fit_all(moved[i]).misfit > TAKEN_FOR_A_CARD);
}

static void twenty_four_random_inks_are_not_taken_for_a_card(void **state)
{
    double least = INFINITY;

    (void)state;
    for (unsigned number = 0; number < 300; number++) {
        uint32_t seed = drawing_seed(number);
        struct rgb colours[CARD_PATCHES];

        for (int i = 0; i < CARD_PATCHES; i++)
            colours[i] = drawing_colour(drawing_ink(&seed));
        least = fmin(least, fit_all(colours).misfit);
    }
    if (!(least > TAKEN_FOR_A_CARD))
        fail_msg("the likeliest of 5000 charts misses the card by %g only", least);
}

/* Sheets are sorted by lightness or hue more often than not. */
static void a_chart_sorted_by_lightness_is_not_taken_for_a_card(void **state)
{
    (void)state;
    for (unsigned number = 0; number < 150; number++) {
        uint32_t seed = drawing_seed(number);
        struct rgb colours[CARD_PATCHES];

        for (int i = 0; i < CARD_PATCHES; i++) {
            struct lab ink = drawing_ink(&seed);

            ink.L = 92 - 3 * i;
            colours[i] = drawing_colour(ink);
        }
        assert_true(fit_all(colours).misfit > TAKEN_FOR_A_CARD);
    }
}

static void even_paper_is_not_taken_for_a_card(void **state)
{
    struct rgb colours[CARD_PATCHES];

    (void)state;
    for (int i = 0; i < CARD_PATCHES; i++)
        colours[i] = drawing_paper;
    assert_true(fit_all(colours).misfit > TAKEN_FOR_A_CARD);
}

static void with_no_patch_seen_there_is_no_fit(void **state)
{
    struct card card = card_values();
    struct rgb colours[CARD_PATCHES];
    bool known[CARD_PATCHES] = {false};

    (void)state;
    card_colours((struct rgb){{1, 1, 1}}, colours);
    assert_true(recognition_fit(colours, known, &card).misfit > 100);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(any_tint_of_light_leaves_the_fit_as_it_is),
        cmocka_unit_test(any_exposure_leaves_the_fit_as_it_is),
        cmocka_unit_test(the_card_is_known_two_thirds_of_a_stop_over_exposed),
        cmocka_unit_test(the_card_is_known_through_a_camera_s_curve_and_colours),
        cmocka_unit_test(with_eight_patches_covered_the_card_is_still_taken_for_one),
        cmocka_unit_test(patches_not_seen_are_left_out),
        cmocka_unit_test(a_card_read_the_wrong_way_round_fits_clearly_worse),
        cmocka_unit_test(twenty_four_random_inks_are_not_taken_for_a_card),
        cmocka_unit_test(a_chart_sorted_by_lightness_is_not_taken_for_a_card),
        cmocka_unit_test(even_paper_is_not_taken_for_a_card),
        cmocka_unit_test(with_no_patch_seen_there_is_no_fit),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
