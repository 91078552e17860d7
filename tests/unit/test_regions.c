#include "drawing.h"

#include "vision/regions.h"

#define WIDTH 400
#define HEIGHT 300
#define PAPER_LEVEL 200

/* --- drawing and looking -------------------------------------------------------------------- */

static struct regions find(const struct photo *photo, int shrink)
{
    struct regions regions = {0};
    struct error error = {0};

    if (regions_find(&photo->image, shrink, 2, &regions, &error))
        fail_msg("%s", error.message);
    return regions;
}

/* The regions whose middle lies within a pixel and a half of a place. */
static int count_at(const struct regions *regions, double x, double y)
{
    int count = 0;

    for (size_t i = 0; i < regions->count; i++)
        count += point_distance(regions->items[i].centre, (struct point){x, y}) < 1.5;
    return count;
}

static struct region region_at(const struct regions *regions, double x, double y)
{
    for (size_t i = 0; i < regions->count; i++)
        if (point_distance(regions->items[i].centre, (struct point){x, y}) < 1.5)
            return regions->items[i];
    fail_msg("no region at (%g, %g)", x, y);
    return (struct region){0};
}

static size_t regions_in(struct photo *photo, int shrink)
{
    struct regions regions = find(photo, shrink);
    size_t count = regions.count;

    regions_release(&regions);
    photo_release(photo);
    return count;
}

static void blank(struct photo *photo)
{
    drawing_create(WIDTH, HEIGHT, drawing_grey(PAPER_LEVEL), photo);
}

/* --- what is found -------------------------------------------------------------------------- */

static void squares_from_16_to_110_pixels_are_each_found_once(void **state)
{
    static const struct {
        double left, top, side;
    } squares[] = {{20, 20, 16},  {60, 20, 24},   {110, 20, 36},  {170, 20, 52},
                   {20, 100, 70}, {120, 100, 86}, {260, 60, 110}, {30, 240, 20}};
    struct photo photo;

    (void)state;
    blank(&photo);
    for (size_t i = 0; i < sizeof squares / sizeof *squares; i++)
        drawing_box(&photo, squares[i].left, squares[i].top, squares[i].side, squares[i].side,
                    drawing_grey(90));
    for (int shrink = 0; shrink < 2; shrink++) {
        struct regions regions = find(&photo, shrink);

        for (size_t i = 0; i < sizeof squares / sizeof *squares; i++)
            assert_int_equal(count_at(&regions, squares[i].left + squares[i].side / 2,
                                      squares[i].top + squares[i].side / 2),
                             1);
        assert_int_equal(regions.count, sizeof squares / sizeof *squares);
        regions_release(&regions);
    }
    photo_release(&photo);
}

static void squares_of_7_to_25_pixels_are_found_in_the_finest_look(void **state)
{
    struct photo photo;
    struct regions regions;

    (void)state;
    blank(&photo);
    for (int side = 8; side < 26; side += 2)
        drawing_box(&photo, side * 14 - 90, 100, side, side, drawing_grey(90));
    regions = find(&photo, 0);
    for (int side = 8; side < 26; side += 2)
        assert_int_equal(count_at(&regions, side * 14.5 - 90, 100 + side / 2.0), 1);
    regions_release(&regions);
    photo_release(&photo);
}

static void inks_from_pale_to_dark_are_each_found_once(void **state)
{
    static const double darker[] = {8, 14, 25, 45, 80, 130, 190};
    struct photo photo;
    struct regions regions;

    (void)state;
    blank(&photo);
    for (int i = 0; i < 7; i++)
        drawing_box(&photo, 10 + 55 * i, 100, 40, 40, drawing_grey(PAPER_LEVEL - darker[i]));
    regions = find(&photo, 1);
    for (int i = 0; i < 7; i++)
        assert_int_equal(count_at(&regions, 30 + 55 * i, 120), 1);
    assert_int_equal(regions.count, 7);
    regions_release(&regions);
    photo_release(&photo);
}

static void an_ink_that_differs_in_one_channel_only_is_found(void **state)
{
    struct rgb yellowish = drawing_grey(PAPER_LEVEL);
    struct photo photo;

    (void)state;
    yellowish.channel[2] *= 0.7;
    blank(&photo);
    drawing_box(&photo, 100, 100, 60, 60, yellowish);
    assert_int_equal(regions_in(&photo, 1), 1);
}

static void a_mottled_swatch_stays_in_one_piece(void **state)
{
    struct photo photo;
    struct regions regions;

    (void)state;
    blank(&photo);
    drawing_box(&photo, 100, 100, 80, 80, drawing_grey(90));
    drawing_noise(&photo, 9, drawing_seed(1));
    regions = find(&photo, 1);
    assert_int_equal(count_at(&regions, 140, 140), 1);
    regions_release(&regions);
    photo_release(&photo);
}

static void a_region_lies_and_spreads_as_the_box_that_was_drawn(void **state)
{
    struct photo photo;
    struct regions regions;
    struct region region;

    (void)state;
    blank(&photo);
    drawing_box(&photo, 100, 50, 90, 60, drawing_grey(90));
    regions = find(&photo, 0);
    region = region_at(&regions, 145, 80);
    drawing_assert_near(region.centre.x, 145, 0.3);
    drawing_assert_near(region.centre.y, 80, 0.3);
    drawing_assert_near(sqrt(12 * region.xx), 90, 5); /* the rim of 2 pixels is edge */
    drawing_assert_near(sqrt(12 * region.yy), 60, 5);
    drawing_assert_near(region.xy, 0, 1);
    drawing_assert_near(region.area_px, 90 * 60, 800);
    regions_release(&regions);
    photo_release(&photo);
}

static void a_square_is_found_in_every_turn(void **state)
{
    struct quad square = drawing_upright(150, 100, 60, 60);

    (void)state;
    for (int degrees = 0; degrees < 90; degrees += 15) {
        struct quad turned = drawing_rotated(&square, degrees);
        struct photo photo;
        struct regions regions;

        blank(&photo);
        drawing_quad(&photo, &turned, drawing_grey(90));
        regions = find(&photo, 1);
        assert_int_equal(count_at(&regions, 180, 130), 1);
        assert_int_equal(regions.count, 1);
        regions_release(&regions);
        photo_release(&photo);
    }
}

static void two_inks_side_by_side_are_two_regions(void **state)
{
    struct photo photo;
    struct regions regions;

    (void)state;
    blank(&photo);
    drawing_box(&photo, 100, 100, 50, 50, drawing_grey(90));
    drawing_box(&photo, 150, 100, 50, 50, drawing_grey(130));
    regions = find(&photo, 1);
    assert_int_equal(count_at(&regions, 125, 125), 1);
    assert_int_equal(count_at(&regions, 175, 125), 1);
    regions_release(&regions);
    photo_release(&photo);
}

static void the_inside_of_a_thin_outline_is_a_region_and_the_outline_is_none(void **state)
{
    struct photo photo;
    struct regions regions;

    (void)state;
    blank(&photo);
    drawing_box(&photo, 100, 100, 64, 64, drawing_grey(60));
    drawing_box(&photo, 104, 104, 56, 56, drawing_grey(PAPER_LEVEL));
    regions = find(&photo, 1);
    assert_int_equal(regions.count, 1);
    assert_true(region_at(&regions, 132, 132).area_px < 57 * 57);
    regions_release(&regions);
    photo_release(&photo);
}

static void regions_come_from_left_to_right(void **state)
{
    struct photo photo;
    struct regions regions;

    (void)state;
    blank(&photo);
    for (int i = 0; i < 5; i++)
        drawing_box(&photo, (i * 3 % 5) * 75 + 20, 20 + 50 * i, 40, 40, drawing_grey(40 + 20 * i));
    regions = find(&photo, 1);
    assert_int_equal(regions.count, 5);
    for (size_t i = 1; i < regions.count; i++)
        assert_true(regions.items[i - 1].centre.x <= regions.items[i].centre.x);
    regions_release(&regions);
    photo_release(&photo);
}

/* --- what is not ---------------------------------------------------------------------------- */

static void bare_paper_holds_no_region(void **state)
{
    struct photo photo;

    (void)state;
    blank(&photo);
    drawing_noise(&photo, 2, drawing_seed(2));
    assert_int_equal(regions_in(&photo, 0), 0);
}

/* Swabs on strips are 8 times as long as wide. */
static void a_long_swab_is_a_region(void **state)
{
    struct photo photo;

    (void)state;
    blank(&photo);
    drawing_box(&photo, 40, 60, 160, 20, drawing_grey(60));
    drawing_box(&photo, 240, 60, 20, 200, drawing_grey(60));
    assert_int_equal(regions_in(&photo, 0), 2);
}

static void lines_and_bands_are_no_regions(void **state)
{
    struct photo photo;

    (void)state;
    blank(&photo);
    drawing_box(&photo, 20, 20, 360, 2, drawing_grey(60));
    drawing_box(&photo, 20, 60, 300, 12, drawing_grey(60));
    drawing_box(&photo, 20, 120, 8, 170, drawing_grey(60));
    assert_int_equal(regions_in(&photo, 0), 0);
}

static void a_ragged_or_hollow_shape_is_no_region(void **state)
{
    struct photo photo;

    (void)state;
    blank(&photo);
    drawing_box(&photo, 100, 100, 100, 24, drawing_grey(60)); /* a U */
    drawing_box(&photo, 100, 100, 24, 100, drawing_grey(60));
    drawing_box(&photo, 176, 100, 24, 100, drawing_grey(60));
    assert_int_equal(regions_in(&photo, 1), 0);
}

static void texture_holds_no_regions(void **state)
{
    struct photo photo;

    (void)state;
    for (unsigned i = 0; i < 3; i++) {
        blank(&photo);
        drawing_noise(&photo, 120, drawing_seed(i));
        assert_int_equal(regions_in(&photo, 0), 0);
    }
}

static void something_over_a_fifth_of_the_photo_is_no_region(void **state)
{
    struct photo photo;

    (void)state;
    blank(&photo);
    drawing_box(&photo, 60, 30, 220, 220, drawing_grey(60));
    assert_int_equal(regions_in(&photo, 1), 0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(squares_from_16_to_110_pixels_are_each_found_once),
        cmocka_unit_test(squares_of_7_to_25_pixels_are_found_in_the_finest_look),
        cmocka_unit_test(inks_from_pale_to_dark_are_each_found_once),
        cmocka_unit_test(an_ink_that_differs_in_one_channel_only_is_found),
        cmocka_unit_test(a_mottled_swatch_stays_in_one_piece),
        cmocka_unit_test(a_region_lies_and_spreads_as_the_box_that_was_drawn),
        cmocka_unit_test(a_square_is_found_in_every_turn),
        cmocka_unit_test(two_inks_side_by_side_are_two_regions),
        cmocka_unit_test(the_inside_of_a_thin_outline_is_a_region_and_the_outline_is_none),
        cmocka_unit_test(regions_come_from_left_to_right),
        cmocka_unit_test(bare_paper_holds_no_region),
        cmocka_unit_test(a_long_swab_is_a_region),
        cmocka_unit_test(lines_and_bands_are_no_regions),
        cmocka_unit_test(a_ragged_or_hollow_shape_is_no_region),
        cmocka_unit_test(texture_holds_no_regions),
        cmocka_unit_test(something_over_a_fifth_of_the_photo_is_no_region),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
