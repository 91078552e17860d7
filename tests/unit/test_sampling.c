#include "drawing.h"

#include "vision/sampling.h"

#define SIDE 100

static const struct rgb ink = {{0.30, 0.12, 0.20}};
static const struct rgb white = {{1, 1, 1}};

static struct area_sample sample_area(const struct photo *photo, const struct quad *quad)
{
    struct area_sample sample = {{0, 0}, {{0}}, {{0}}, 0, 0, 0, 0};
    struct error error = {0};

    if (sampling_area(photo, quad, &sample, &error))
        fail_msg("%s", error.message);
    return sample;
}

/* Sample a square of 60 pixels in the middle, and be done with the photo. */
static struct area_sample sample_middle(struct photo *photo)
{
    struct quad middle = drawing_upright(20, 20, 60, 60);
    struct area_sample sample = sample_area(photo, &middle);

    photo_release(photo);
    return sample;
}

static void assert_colour(struct rgb seen, struct rgb wanted, double within)
{
    for (int k = 0; k < 3; k++)
        drawing_assert_near(seen.channel[k], wanted.channel[k], within);
}

/* --- averaging ------------------------------------------------------------------------------ */

static void an_even_area_gives_its_own_colour(void **state)
{
    struct photo photo;
    struct area_sample sample;

    (void)state;
    drawing_create(SIDE, SIDE, ink, &photo);
    sample = sample_middle(&photo);
    assert_colour(sample.rgb_linear, ink, 1e-4);
    assert_colour(sample.deviation_linear, (struct rgb){{0, 0, 0}}, 1e-4);
    assert_int_equal(sample.pixels, 3600);
    assert_int_equal(sample.kept, 3600);
    drawing_assert_near(sample.brighter, 0, 0);
    drawing_assert_near(sample.clipped, 0, 0);
    drawing_assert_near(sample.at.x, 50, 1e-9);
    drawing_assert_near(sample.at.y, 50, 1e-9);
}

/* Averaged as encoded, the middle grey would come back. */
static void the_mean_is_of_light_not_of_encoded_values(void **state)
{
    struct photo photo;
    struct area_sample sample;
    double sum = 0;

    (void)state;
    drawing_create(SIDE, SIDE, drawing_grey(128), &photo);
    drawing_noise(&photo, 50, drawing_seed(8));
    for (int i = 0; i < 3600; i++)
        sum += drawing_decode(image_at(&photo.image, 20 + i % 60, 20 + i / 60)[1] / 65535.0);
    sample = sample_middle(&photo);
    assert_int_equal(sample.kept, sample.pixels);
    assert_true(sum / 3600 > drawing_decode(128 / 255.0) + 0.01);
    drawing_assert_near(sample.rgb_linear.channel[1], sum / 3600, 1e-4);
}

static void only_what_lies_in_the_quad_counts(void **state)
{
    struct quad upright = drawing_upright(30, 30, 40, 40);
    struct quad diamond = drawing_rotated(&upright, 45);
    struct photo photo;
    struct area_sample sample;

    (void)state;
    drawing_create(SIDE, SIDE, white, &photo);
    diamond = quad_inset(&diamond, -0.02);
    drawing_quad(&photo, &diamond, ink);
    diamond = quad_inset(&diamond, 0.05);
    sample = sample_area(&photo, &diamond);
    assert_colour(sample.rgb_linear, ink, 1e-4);
    assert_int_equal(sample.kept, sample.pixels);
    drawing_assert_near(sample.pixels, quad_area(&diamond), 40);
    photo_release(&photo);
}

static void a_large_area_is_thinned_without_moving_its_mean(void **state)
{
    struct quad quad = drawing_upright(10, 10, 580, 580);
    struct photo photo;
    struct area_sample sample;

    (void)state;
    drawing_create(600, 600, ink, &photo);
    drawing_noise(&photo, 8, drawing_seed(3));
    sample = sample_area(&photo, &quad);
    assert_in_range(sample.pixels, 2048, 2700);
    assert_colour(sample.rgb_linear, ink, 0.002);
    photo_release(&photo);
}

static void the_deviation_is_that_of_the_pixels(void **state)
{
    struct photo photo;
    struct area_sample sample;
    double slope, wanted;

    (void)state;
    drawing_create(SIDE, SIDE, drawing_grey(150), &photo);
    drawing_noise(&photo, 6, drawing_seed(4));
    sample = sample_middle(&photo);
    slope = (drawing_decode(151 / 255.0) - drawing_decode(149 / 255.0)) / 2;
    wanted = 6 / sqrt(3) * slope; /* of an even spread */
    drawing_assert_near(sample.deviation_linear.channel[1], wanted, 0.05 * wanted);
}

/* --- what is left out ----------------------------------------------------------------------- */

static void pen_marks_are_left_out(void **state)
{
    struct photo photo;
    struct area_sample sample;

    (void)state;
    drawing_create(SIDE, SIDE, ink, &photo);
    drawing_noise(&photo, 3, drawing_seed(5));
    drawing_box(&photo, 20, 40, 60, 6, drawing_frame);
    drawing_box(&photo, 45, 20, 6, 60, drawing_frame);
    sample = sample_middle(&photo);
    assert_colour(sample.rgb_linear, ink, 0.001);
    drawing_assert_near(sample.pixels - sample.kept, 6 * 60 + 6 * 60 - 36, 4);
    drawing_assert_near(sample.brighter, 0, 0.001);
}

static void glare_is_left_out_and_told(void **state)
{
    struct photo photo;
    struct area_sample sample;

    (void)state;
    drawing_create(SIDE, SIDE, ink, &photo);
    drawing_noise(&photo, 3, drawing_seed(6));
    drawing_box(&photo, 25, 25, 30, 30, (struct rgb){{0.7, 0.6, 0.65}});
    sample = sample_middle(&photo);
    assert_colour(sample.rgb_linear, ink, 0.001);
    drawing_assert_near(sample.brighter, 900.0 / 3600, 0.001);
}

static void a_mark_in_one_channel_only_is_left_out(void **state)
{
    struct rgb marked = ink;
    struct photo photo;
    struct area_sample sample;

    (void)state;
    marked.channel[1] *= 0.5;
    drawing_create(SIDE, SIDE, ink, &photo);
    drawing_box(&photo, 30, 30, 20, 20, marked);
    sample = sample_middle(&photo);
    assert_colour(sample.rgb_linear, ink, 1e-4);
    assert_int_equal(sample.kept, 3200);
}

/* A dark, mottled area reaches below what can be told from black. */
static void a_mottled_area_near_black_is_averaged_whole(void **state)
{
    struct photo photo;
    struct area_sample sample;

    (void)state;
    drawing_create(SIDE, SIDE, drawing_grey(5), &photo);
    drawing_noise(&photo, 4, drawing_seed(7));
    sample = sample_middle(&photo);
    assert_int_equal(sample.kept, sample.pixels);
    assert_colour(sample.rgb_linear, drawing_grey(5), 1e-4);
}

/* --- clipping ------------------------------------------------------------------------------- */

static void clipped_pixels_are_counted_at_both_ends(void **state)
{
    struct photo photo;
    struct area_sample sample;

    (void)state;
    drawing_create(SIDE, SIDE, ink, &photo);
    drawing_box(&photo, 20, 20, 60, 6, (struct rgb){{1, 0.5, 0.5}});
    drawing_box(&photo, 20, 40, 60, 12, (struct rgb){{0.3, 0, 0.3}});
    sample = sample_middle(&photo);
    drawing_assert_near(sample.clipped, 18.0 / 60, 1e-9);
}

static void near_white_and_near_black_are_not_clipped(void **state)
{
    struct photo photo;
    struct area_sample sample;

    (void)state;
    drawing_create(SIDE, SIDE, drawing_grey(250), &photo);
    drawing_box(&photo, 20, 20, 60, 30, drawing_grey(5));
    sample = sample_middle(&photo);
    drawing_assert_near(sample.clipped, 0, 0);
}

/* --- areas that can't be averaged ----------------------------------------------------------- */

static void an_area_too_small_is_refused_with_its_place_in_the_stored_photo(void **state)
{
    struct quad tiny = drawing_upright(40, 30, 2.4, 2.4);
    struct quad enough = drawing_upright(40, 30, 3, 3);
    struct area_sample sample = {.pixels = -1};
    struct error error = {0};
    struct photo photo;

    (void)state;
    drawing_create(SIDE, SIDE, ink, &photo);
    assert_int_equal(sampling_area(&photo, &tiny, &sample, &error), STATUS_QUALITY);
    assert_int_equal(sample.pixels, -1);
    drawing_assert_helpful(&error, "(82, 62)", "photograph from nearer");
    assert_int_equal(sampling_area(&photo, &enough, &sample, &error), STATUS_OK);
    assert_int_equal(sample.pixels, 9);
    photo_release(&photo);
}

static void an_area_outside_the_photo_is_refused(void **state)
{
    static const double places[][2] = {{-60, 20}, {140, 20}, {20, -60}, {20, 140}, {1e9, -1e9}};
    struct photo photo;

    (void)state;
    drawing_create(SIDE, SIDE, ink, &photo);
    for (size_t i = 0; i < sizeof places / sizeof *places; i++) {
        struct quad quad = drawing_upright(places[i][0], places[i][1], 40, 40);
        struct area_sample sample;
        struct error error = {0};

        assert_int_equal(sampling_area(&photo, &quad, &sample, &error), STATUS_QUALITY);
    }
    photo_release(&photo);
}

static void of_an_area_half_outside_the_part_inside_is_averaged(void **state)
{
    struct quad quad = drawing_upright(-20, -20, 40, 40);
    struct photo photo;
    struct area_sample sample;

    (void)state;
    drawing_create(SIDE, SIDE, ink, &photo);
    sample = sample_area(&photo, &quad);
    assert_int_equal(sample.pixels, 400);
    assert_colour(sample.rgb_linear, ink, 1e-4);
    photo_release(&photo);
}

/* --- quick looks ---------------------------------------------------------------------------- */

static void a_glance_is_the_mean_of_a_small_square(void **state)
{
    struct photo photo;
    struct rgb seen;

    (void)state;
    drawing_create(SIDE, SIDE, ink, &photo);
    drawing_box(&photo, 50, 0, 50, SIDE, white);
    assert_true(sampling_glance(&photo, (struct point){25.5, 50.5}, 3, &seen));
    assert_colour(seen, ink, 1e-4);
    assert_true(sampling_glance(&photo, (struct point){50.5, 50.5}, 1, &seen));
    for (int k = 0; k < 3; k++)
        drawing_assert_near(seen.channel[k], (ink.channel[k] + 2) / 3, 1e-4);
    photo_release(&photo);
}

static void no_glance_reaches_out_of_the_photo(void **state)
{
    static const struct point outside[] = {{1.5, 50}, {50, 2.9},  {98.5, 50},  {50, 97.5},
                                           {-20, 50}, {50, 1e12}, {-1e12, 50}, {NAN, 50}};
    struct photo photo;
    struct rgb seen;

    (void)state;
    drawing_create(SIDE, SIDE, ink, &photo);
    for (size_t i = 0; i < sizeof outside / sizeof *outside; i++)
        assert_false(sampling_glance(&photo, outside[i], 3, &seen));
    assert_true(sampling_glance(&photo, (struct point){3.5, 96}, 3, &seen));
    photo_release(&photo);
}

static void points_of_an_area_are_read_row_by_row(void **state)
{
    struct quad quad = drawing_upright(20, 20, 60, 60);
    struct rgb points[9];
    struct photo photo;

    (void)state;
    drawing_create(SIDE, SIDE, ink, &photo);
    drawing_box(&photo, 60, 20, 20, 20, white); /* the third of the first row */
    assert_int_equal(sampling_points(&photo, &quad, 3, points), 9);
    for (int i = 0; i < 9; i++)
        assert_colour(points[i], i == 2 ? white : ink, 1e-4);
    quad = drawing_upright(-40, 20, 60, 60); /* its right third lies in the photo */
    assert_int_equal(sampling_points(&photo, &quad, 3, points), 3);
    photo_release(&photo);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(an_even_area_gives_its_own_colour),
        cmocka_unit_test(the_mean_is_of_light_not_of_encoded_values),
        cmocka_unit_test(only_what_lies_in_the_quad_counts),
        cmocka_unit_test(a_large_area_is_thinned_without_moving_its_mean),
        cmocka_unit_test(the_deviation_is_that_of_the_pixels),
        cmocka_unit_test(pen_marks_are_left_out),
        cmocka_unit_test(glare_is_left_out_and_told),
        cmocka_unit_test(a_mark_in_one_channel_only_is_left_out),
        cmocka_unit_test(a_mottled_area_near_black_is_averaged_whole),
        cmocka_unit_test(clipped_pixels_are_counted_at_both_ends),
        cmocka_unit_test(near_white_and_near_black_are_not_clipped),
        cmocka_unit_test(an_area_too_small_is_refused_with_its_place_in_the_stored_photo),
        cmocka_unit_test(an_area_outside_the_photo_is_refused),
        cmocka_unit_test(of_an_area_half_outside_the_part_inside_is_averaged),
        cmocka_unit_test(a_glance_is_the_mean_of_a_small_square),
        cmocka_unit_test(no_glance_reaches_out_of_the_photo),
        cmocka_unit_test(points_of_an_area_are_read_row_by_row),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
