#include "correction/light.h"
#include "values/linear.h"

#include <math.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <setjmp.h>
#include <string.h>
#include <cmocka.h>

#define SHEET_COLUMNS 7
#define SHEET_ROWS 9
#define PAPERS (SHEET_COLUMNS * SHEET_ROWS)
#define PATCHES 24

static const struct point card_centre = {1350, 520};

/* Light that falls by 30 % from the card to the far corner of the sheet, and turns warmer. */
static double true_log_light(struct point at, int channel)
{
    double x = (at.x - card_centre.x) / 1000, y = (at.y - card_centre.y) / 1000;

    return 0.22 * x - 0.05 * y - 0.06 * x * x + (channel - 1) * 0.02 * x;
}

/* A reproducible scatter between -1 and 1. */
static double scatter(int i)
{
    return fmod(sin(i * 12.9898 + 4.1) * 43758.5453, 1.0);
}

static struct light_sample sample_at(struct point at, enum light_surface surface, double deviation,
                                     int seed)
{
    struct light_sample sample = {at, surface, {0, 0, 0}, deviation};

    for (int k = 0; k < 3; k++)
        sample.log_ratio[k] = true_log_light(at, k) + 1.7 * deviation * scatter(3 * seed + k) +
                              (surface == LIGHT_PAPER ? -0.4 + 0.1 * k : 0);
    return sample;
}

static size_t take_card(double deviation, struct light_sample *samples)
{
    for (int i = 0; i < PATCHES; i++)
        samples[i] = sample_at(
            (struct point){card_centre.x + 80 * (i % 6 - 2.5), card_centre.y + 80 * (i / 6 - 1.5)},
            LIGHT_CARD, deviation, i);
    return PATCHES;
}

static size_t take_card_and_sheet(struct light_sample *samples)
{
    size_t count = take_card(0.03, samples);

    for (int i = 0; i < PAPERS; i++)
        samples[count++] =
            sample_at((struct point){i % SHEET_COLUMNS * 166.0, i / SHEET_COLUMNS * 150.0},
                      LIGHT_PAPER, 0.003, 100 + i);
    return count;
}

/* What the card's patches tell of the light, each channel by itself: news of a normal distribution
 * about what was seen. As correction.c has it, but that there the colours have a say too. */
static void hear_patches(const struct light_sample *samples, struct light_field *field)
{
    enum { ROWS = 3 * PATCHES };
    static double covariance[ROWS * ROWS];
    static struct light_news news;
    struct error error;
    double off[ROWS];

    news = (struct light_news){.count = PATCHES, .looseness = 1};
    for (int i = 0; i < PATCHES; i++) {
        struct rgb light = light_at(field, samples[i].at);

        news.at[i] = samples[i].at;
        for (int k = 0; k < 3; k++)
            off[3 * i + k] = samples[i].log_ratio[k] - log(light.channel[k]);
        for (int j = 0; j < PATCHES; j++) {
            double block[9];

            light_covariance_between(field, samples[i].at, samples[j].at, block);
            for (int k = 0; k < 9; k++)
                covariance[(3 * i + k / 3) * ROWS + 3 * j + k % 3] =
                    block[k] + (k % 4 ? 0 : 1); /* the card's own level is not known */
        }
        for (int k = 0; k < 3; k++)
            covariance[(3 * i + k) * (ROWS + 1)] += samples[i].deviation * samples[i].deviation;
    }
    assert_int_equal(linear_invert_symmetric(covariance, ROWS, news.precision, &error), STATUS_OK);
    for (int i = 0; i < ROWS; i++)
        for (int j = 0; j < ROWS; j++)
            news.along[i] += news.precision[i * ROWS + j] * off[j];
    assert_int_equal(light_hear(&news, field, &error), STATUS_OK);
}

static struct light_field fit(const struct light_sample *samples, size_t count)
{
    struct light_field field;
    struct error error;
    struct light_scene scene = {samples, count, {false, {0, 0, 0}}, card_centre};

    assert_int_equal(light_fit(&scene, &field, &error), STATUS_OK);
    return field;
}

/* Largest relative error of the light between two corners. */
static double worst_error(const struct light_field *field, struct point low, struct point high)
{
    double worst = 0;

    for (int i = 0; i <= 10; i++)
        for (int j = 0; j <= 10; j++) {
            struct point at = {low.x + i * (high.x - low.x) / 10,
                               low.y + j * (high.y - low.y) / 10};
            struct rgb light = light_at(field, at);

            for (int k = 0; k < 3; k++)
                worst = fmax(worst, fabs(log(light.channel[k]) - true_log_light(at, k)));
        }
    return worst;
}

static void a_fall_off_of_30_percent_is_undone_within_1_percent(void **state)
{
    struct light_sample samples[PATCHES + PAPERS];
    struct light_field field = fit(samples, take_card_and_sheet(samples));
    struct light_field even;

    (void)state;
    light_even(&even);
    assert_true(worst_error(&field, (struct point){0, 0}, (struct point){1000, 1200}) < 0.01);
    assert_true(worst_error(&field, (struct point){1150, 400}, (struct point){1550, 640}) < 0.01);
    assert_true(worst_error(&even, (struct point){0, 0}, (struct point){1000, 1200}) > 0.3);
}

static void light_is_followed_to_the_rim_beyond_the_last_paper(void **state)
{
    struct light_sample samples[PATCHES + PAPERS];
    struct light_field field;

    (void)state;
    take_card_and_sheet(samples);
    for (int i = PATCHES; i < PATCHES + PAPERS; i++) /* paper only in the sheet's middle */
        samples[i] = sample_at(
            (struct point){200 + 100.0 * ((i - PATCHES) % 7), 200 + 100.0 * ((i - PATCHES) / 7)},
            LIGHT_PAPER, 0.003, i);
    field = fit(samples, PATCHES + PAPERS);
    assert_true(worst_error(&field, (struct point){50, 50}, (struct point){1000, 1150}) < 0.02);
}

static void light_at_the_middle_of_the_card_is_one(void **state)
{
    struct light_sample samples[PATCHES + PAPERS];
    struct light_field field = fit(samples, take_card_and_sheet(samples));
    struct rgb light = light_at(&field, card_centre);

    (void)state;
    for (int k = 0; k < 3; k++)
        assert_true(fabs(light.channel[k] - 1) < 1e-12);
}

static void a_card_alone_gives_a_gentle_gradient(void **state)
{
    struct light_sample samples[PATCHES];
    struct light_field field = fit(samples, take_card(0.03, samples));
    struct point far = {-20000, 30000};

    (void)state;
    hear_patches(samples, &field);
    assert_true(worst_error(&field, (struct point){1150, 400}, (struct point){1550, 640}) < 0.03);
    for (int k = 0; k < 3; k++) {
        assert_true(light_at(&field, far).channel[k] > 0.6);
        assert_true(light_at(&field, far).channel[k] < 1.6);
    }
}

/* Paper in the sheet's far half says little of the light at the card; the card does, and leaves
 * less in doubt. */
static void the_card_tells_what_far_paper_can_not(void **state)
{
    const struct point low = {1150, 400}, high = {1550, 640};
    struct light_sample samples[PATCHES + PAPERS];
    struct light_field field;
    double before[9], after[9], alone;

    (void)state;
    take_card_and_sheet(samples);
    for (int i = 0; i < PATCHES; i++)
        samples[i] = sample_at(samples[i].at, LIGHT_CARD, 0.003, i);
    for (int i = PATCHES; i < PATCHES + PAPERS; i++)
        samples[i] = sample_at((struct point){0.4 * samples[i].at.x, samples[i].at.y}, LIGHT_PAPER,
                               0.003, i);
    field = fit(samples, PATCHES + PAPERS);
    alone = worst_error(&field, low, high);
    light_covariance(&field, high, before);
    hear_patches(samples, &field);
    light_covariance(&field, high, after);
    assert_true(worst_error(&field, low, high) < 0.6 * alone);
    assert_true(after[4] < before[4] / 4);
}

static void shaded_paper_does_not_pull_the_light_elsewhere(void **state)
{
    struct light_sample samples[PATCHES + PAPERS];
    size_t count = take_card_and_sheet(samples);
    struct light_field field;

    (void)state;
    for (int i = 0; i < 6; i++) /* a hand's shadow over a corner of the sheet */
        for (int k = 0; k < 3; k++)
            samples[PATCHES + i % 3 + SHEET_COLUMNS * (i / 3)].log_ratio[k] -= 0.2;
    for (int i = 0; i < PATCHES; i++)
        samples[i] = sample_at(samples[i].at, LIGHT_CARD, 0.003, i);
    field = fit(samples, count);
    hear_patches(samples, &field);
    assert_true(worst_error(&field, (struct point){500, 300}, (struct point){1000, 1200}) < 0.02);
    assert_true(worst_error(&field, (struct point){1150, 400}, (struct point){1550, 640}) < 0.01);
}

/* How far past a line across the sheet, in half widths of a shadow's soft edge. */
static double past_edge(struct point at, double turn)
{
    return ((at.x - 750) * cos(turn) + (at.y - 500) * sin(turn)) / 90;
}

/* What the shadow leaves of the light. */
static double shaded(struct point at, double turn)
{
    double way = past_edge(at, turn);
    double depth = way < -1 ? 0 : way > 1 ? 1 : 0.5 + 0.5 * sin(1.5707963 * way);

    return log(1 - 0.35 * depth);
}

static void cast_shadow(struct light_sample *samples, size_t count, double turn)
{
    for (size_t i = 0; i < count; i++)
        for (int k = 0; k < 3; k++)
            samples[i].log_ratio[k] += shaded(samples[i].at, turn);
}

/* As correction.c calls it, with the card's own white known. */
static struct light_field fit_with_usual_paper(const struct light_sample *samples, size_t count)
{
    struct light_field field;
    struct error error;
    struct light_scene scene = {samples, count, {true, {-0.4, -0.3, -0.2}}, card_centre};

    assert_int_equal(light_fit(&scene, &field, &error), STATUS_OK);
    hear_patches(samples, &field);
    return field;
}

/* The largest error of the light outside the soft edge itself, which few samples show. */
static double worst_beside_edge(const struct light_field *field, const struct light_sample *samples,
                                size_t count, double turn)
{
    double worst = 0;

    for (size_t i = 0; i < count; i++) {
        struct point at = samples[i].at;
        double truth = true_log_light(at, 1) + shaded(at, turn) - shaded(card_centre, turn);

        if (fabs(past_edge(at, turn)) > 1)
            worst = fmax(worst, fabs(log(light_at(field, at).channel[1]) - truth));
    }
    return worst;
}

/* A third of the light is gone beyond the edge; a field without one errs by half of that. */
static void light_on_either_side_of_a_shadows_edge_is_told(void **state)
{
    static const double turns[] = {0, 0.5, -0.5, 3.1, 2.4};

    (void)state;
    for (size_t t = 0; t < sizeof turns / sizeof *turns; t++) {
        struct light_sample samples[PATCHES + PAPERS];
        size_t count = take_card_and_sheet(samples);
        struct light_field field;

        cast_shadow(samples, count, turns[t]);
        field = fit_with_usual_paper(samples, count);
        assert_true(field.shadow.found);
        assert_true(worst_beside_edge(&field, samples, count, turns[t]) < 0.08);
        field = fit(samples, count);
        assert_true(worst_beside_edge(&field, samples, count, turns[t]) > 0.16);
    }
}

static void no_shadow_is_seen_in_smooth_light(void **state)
{
    struct light_sample samples[PATCHES + PAPERS];
    struct light_field field = fit_with_usual_paper(samples, take_card_and_sheet(samples));

    (void)state;
    assert_false(field.shadow.found);
}

static void a_light_stated_uncertain_is_further_from_the_samples(void **state)
{
    struct light_sample samples[PATCHES + PAPERS];
    struct light_field field = fit(samples, take_card_and_sheet(samples));
    double centre[9], sheet[9], rim[9];

    (void)state;
    light_covariance(&field, card_centre, centre);
    light_covariance(&field, (struct point){500, 600}, sheet);
    light_covariance(&field, (struct point){0, 1300}, rim);
    assert_true(centre[0] < 1e-12);
    assert_true(sheet[0] > 0);
    assert_true(rim[0] > sheet[0]);
}

static void the_stated_uncertainty_covers_the_error(void **state)
{
    struct light_sample samples[PATCHES + PAPERS];
    struct light_field field = fit(samples, take_card_and_sheet(samples));
    int covered = 0, places = 0;

    (void)state;
    for (int i = 0; i <= 10; i++)
        for (int j = 0; j <= 10; j++) {
            struct point at = {100.0 * i, 120.0 * j};
            double covariance[9];
            double error = log(light_at(&field, at).channel[1]) - true_log_light(at, 1);

            light_covariance(&field, at, covariance);
            covered += error * error < 4 * covariance[4];
            places++;
        }
    assert_true(covered > 0.9 * places);
}

static void beyond_its_box_the_light_stays_as_it_is(void **state)
{
    struct light_sample samples[PATCHES + PAPERS];
    struct light_field field = fit(samples, take_card_and_sheet(samples));
    struct rgb rim = light_at(&field, (struct point){field.low.x, 500});
    struct rgb far = light_at(&field, (struct point){field.low.x - 5000, 500});

    (void)state;
    assert_memory_equal(&rim, &far, sizeof rim);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_fall_off_of_30_percent_is_undone_within_1_percent),
        cmocka_unit_test(light_is_followed_to_the_rim_beyond_the_last_paper),
        cmocka_unit_test(light_at_the_middle_of_the_card_is_one),
        cmocka_unit_test(a_card_alone_gives_a_gentle_gradient),
        cmocka_unit_test(the_card_tells_what_far_paper_can_not),
        cmocka_unit_test(shaded_paper_does_not_pull_the_light_elsewhere),
        cmocka_unit_test(light_on_either_side_of_a_shadows_edge_is_told),
        cmocka_unit_test(no_shadow_is_seen_in_smooth_light),
        cmocka_unit_test(a_light_stated_uncertain_is_further_from_the_samples),
        cmocka_unit_test(the_stated_uncertainty_covers_the_error),
        cmocka_unit_test(beyond_its_box_the_light_stays_as_it_is),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
