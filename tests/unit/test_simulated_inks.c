/*
 * The whole correction on simulated photos: invented cameras, card pigments
 * and inks, of which none was in a fit. The goals are the product's own.
 */
#include "accuracy/card_spectra.h"
#include "accuracy/simulation.h"

#include "files/card.h"
#include "measurement/radius.h"
#include "values/statistics.h"

#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <setjmp.h>
#include <stdlib.h>
#include <cmocka.h>

#define PHOTOS 40

/* How many truths their 95 % radii may hold; wider than on photos, for here are other inks. */
#define HELD_MIN 0.90
#define HELD_MAX 0.985
#define DARK_HELD_MIN 0.88 /* of few inks, which err most */

#define CELLS_MAX (PHOTOS * SIMULATION_CELLS)

struct outcome {
    double error[CELLS_MAX];
    size_t count;
    size_t held;                         /* truths inside their 95 % radius */
    size_t held_by_half, held_by_double; /* inside radii half and double as large */
    size_t dark, dark_held;              /* of L* below 30 */
};

static int set_up(void **state)
{
    struct simulation_world *world = malloc(sizeof *world);

    assert_non_null(world);
    simulation_world_create(world);
    *state = world;
    return 0;
}

static int tear_down(void **state)
{
    free(*state);
    return 0;
}

/* Published spectra against published colours, of the same edition. Both from memory; that they
 * agree is what vouches for either. */
static void spectra_of_the_card_have_its_colours(void **state)
{
    const struct simulation_world *world = *state;
    double off[CARD_PATCHES];
    struct card card;
    struct error error;

    assert_int_equal(card_read("calibration/card24-before-2014-11.txt", &card, &error), STATUS_OK);
    for (int i = 0; i < CARD_PATCHES; i++) {
        struct spectrum spectrum = card_spectrum(i);
        double lab[3];

        observer_lab(&world->observer, &spectrum, lab);
        off[i] = colour_delta_e_2000(card.patch[i], (struct lab){lab[0], lab[1], lab[2]});
    }
    assert_true(statistics_mean(off, CARD_PATCHES) < 0.6);
    assert_true(statistics_maximum(off, CARD_PATCHES) < 1.5);
}

static double stated_radius(const struct correction *correction, struct point at, struct lab lab)
{
    double covariance[9];

    correction_covariance(correction, at, lab, covariance);
    return radius_95(lab, covariance);
}

static void read_cell(const struct correction *correction, const struct area_sample *cell,
                      struct lab truth, struct outcome *outcome)
{
    struct rgb light = correction_light(correction, cell->at), rgb;
    struct lab lab;
    double error;

    for (int k = 0; k < 3; k++)
        rgb.channel[k] =
            correction_tone(correction, k, cell->rgb_linear.channel[k]) / light.channel[k];
    correction_lab(correction, &rgb, 1, &lab);
    error = colour_delta_e_2000(lab, truth);
    outcome->error[outcome->count++] = error;
    outcome->held += error <= stated_radius(correction, cell->at, lab);
    outcome->dark += truth.L < 30;
    outcome->dark_held += truth.L < 30 && error <= stated_radius(correction, cell->at, lab);
    outcome->held_by_half += error <= stated_radius(correction, cell->at, lab) / 2;
    outcome->held_by_double += error <= stated_radius(correction, cell->at, lab) * 2;
}

static void take_photos(const struct simulation_world *world, enum simulation_grade grade,
                        struct outcome *outcome)
{
    outcome->count = outcome->held = outcome->held_by_half = outcome->held_by_double = 0;
    outcome->dark = outcome->dark_held = 0;
    for (int seed = 0; seed < PHOTOS; seed++) {
        static struct simulation_photo photo;
        struct correction_quality quality;
        struct correction *correction;
        struct error error;

        simulation_take(world, grade, 300 + (uint64_t)seed, &photo);
        assert_int_equal(correction_fit(&photo.input, &correction, &quality, &error), STATUS_OK);
        for (int i = 0; i < SIMULATION_CELLS; i++)
            if (!photo.cell_clipped[i])
                read_cell(correction, &photo.cell[i], photo.truth[i], outcome);
        correction_release(correction);
    }
}

static void inks_in_even_light_are_within_1_on_average(void **state)
{
    static struct outcome outcome;

    take_photos(*state, SIMULATION_EVEN, &outcome);
    assert_true(statistics_mean(outcome.error, outcome.count) <= 1.0);
}

static void inks_in_an_ordinary_photo_are_within_1_and_a_half_on_average(void **state)
{
    static struct outcome outcome;

    take_photos(*state, SIMULATION_ORDINARY, &outcome);
    assert_true(statistics_mean(outcome.error, outcome.count) <= 1.5);
    assert_true(statistics_quantile(outcome.error, outcome.count, 0.95) <= 3.0);
}

/* A look is harder, and the wider its twists the more so; but the card tells much of it. */
static void inks_seen_with_a_look_are_within_2_and_a_half_on_average(void **state)
{
    static struct outcome outcome;

    take_photos(*state, SIMULATION_LOOK, &outcome);
    assert_true(statistics_mean(outcome.error, outcome.count) <= 2.5);
    take_photos(*state, SIMULATION_PHONE, &outcome);
    assert_true(statistics_mean(outcome.error, outcome.count) <= 2.5);
}

static void inks_in_a_raw_photo_are_within_1_on_average(void **state)
{
    static struct outcome outcome;

    take_photos(*state, SIMULATION_RAW, &outcome);
    assert_true(statistics_mean(outcome.error, outcome.count) <= 1.0);
}

static void stated_radii_hold_the_truth_about_as_often_as_they_say(void **state)
{
    static struct outcome outcome;
    size_t dark = 0, dark_held = 0;

    for (int grade = SIMULATION_EVEN; grade < SIMULATION_GRADES; grade++) {
        double held;

        take_photos(*state, (enum simulation_grade)grade, &outcome);
        held = (double)outcome.held / (double)outcome.count;
        dark += outcome.dark;
        dark_held += outcome.dark_held;
        assert_true(held > HELD_MIN && held < HELD_MAX);
        /* The bounds tell: radii half or double as large would not pass. */
        assert_true((double)outcome.held_by_half / (double)outcome.count < HELD_MIN);
        assert_true((double)outcome.held_by_double / (double)outcome.count > HELD_MAX);
    }
    assert_true((double)dark_held / (double)dark > DARK_HELD_MIN);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(spectra_of_the_card_have_its_colours),
        cmocka_unit_test(inks_in_even_light_are_within_1_on_average),
        cmocka_unit_test(inks_in_an_ordinary_photo_are_within_1_and_a_half_on_average),
        cmocka_unit_test(inks_seen_with_a_look_are_within_2_and_a_half_on_average),
        cmocka_unit_test(inks_in_a_raw_photo_are_within_1_on_average),
        cmocka_unit_test(stated_radii_hold_the_truth_about_as_often_as_they_say),
    };

    return cmocka_run_group_tests(tests, set_up, tear_down);
}
