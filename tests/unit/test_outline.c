#include "drawing.h"

#include "location/outline.h"

#define SIDE_PX 90.0
#define CORNER_OFF_MAX (0.02 * SIDE_PX) /* what an outline may be off */

static const struct lab pale_yellow = {90, -6, 22};
static const struct lab pale_green = {84, -12, 8};
static const struct lab blue = {35, 10, -35};
static const struct lab red = {42, 55, 30};
static const struct lab *const inks[] = {&pale_yellow, &pale_green, &blue, &red};

#define INKS (sizeof inks / sizeof *inks)

static struct quad ink_outline(void)
{
    return (struct quad){{{60, 57}, {60 + SIDE_PX, 60}, {57 + SIDE_PX, 60 + SIDE_PX}, {57, 147}}};
}

/* The ink's outline grown by some pixels on every side. */
static struct quad grown(double px)
{
    static const struct point way[4] = {{-1, -1}, {1, -1}, {1, 1}, {-1, 1}};
    struct quad quad = ink_outline();

    for (int i = 0; i < 4; i++)
        quad.corner[i] = point_add(quad.corner[i], point_scale(way[i], px));
    return quad;
}

static void draw_grown(struct photo *photo, double px, struct rgb colour)
{
    struct quad quad = grown(px);

    drawing_quad(photo, &quad, colour);
}

/* As a phone sees it: a little blurred, a little noisy. */
static void assert_outline_is_found(struct photo *photo, struct lab ink)
{
    struct quad truth = ink_outline(), found = grown(-2);
    double corner_error;

    draw_grown(photo, 0, drawing_colour(ink));
    drawing_blur(photo, 1);
    drawing_noise(photo, 2, 5);
    assert_true(outline_refine(photo, &outline_of_region, &found, &corner_error));
    assert_true(corner_error < 0.02);
    for (int i = 0; i < 4; i++)
        assert_true(point_distance(found.corner[i], truth.corner[i]) < CORNER_OFF_MAX);
    photo_release(photo);
}

static void ink_on_bare_paper_ends_at_its_edge(void **state)
{
    struct photo photo;

    (void)state;
    for (size_t i = 0; i < INKS; i++) {
        drawing_create(210, 210, drawing_paper, &photo);
        assert_outline_is_found(&photo, *inks[i]);
    }
}

static void ink_ends_before_the_frame_printed_about_it(void **state)
{
    struct photo photo;

    (void)state;
    for (size_t i = 0; i < INKS; i++) {
        drawing_create(210, 210, drawing_paper, &photo);
        draw_grown(&photo, 5, drawing_grey(90));
        draw_grown(&photo, 2.5, drawing_paper);
        assert_outline_is_found(&photo, *inks[i]);
    }
}

static void ink_ends_before_another_ink_close_by(void **state)
{
    struct photo photo;

    (void)state;
    drawing_create(210, 210, drawing_paper, &photo);
    draw_grown(&photo, 40, drawing_colour(blue));
    draw_grown(&photo, 3, drawing_paper);
    assert_outline_is_found(&photo, red);
}

/* The cell in a photo where it is a part of this size, as blurred and grainy as phones are. */
static double corner_error_of(double blur_px, double noise)
{
    struct quad found = grown(-2);
    struct photo photo;
    double corner_error;

    drawing_create(210, 210, drawing_paper, &photo);
    draw_grown(&photo, 0, drawing_colour(red));
    drawing_blur(&photo, blur_px);
    drawing_noise(&photo, noise, 5);
    assert_true(outline_refine(&photo, &outline_of_region, &found, &corner_error));
    photo_release(&photo);
    return corner_error;
}

static void the_more_blurred_or_grainy_the_less_sure_are_corners(void **state)
{
    (void)state;
    assert_true(corner_error_of(1, 2) < corner_error_of(2, 2));
    assert_true(corner_error_of(2, 2) < corner_error_of(4, 2));
    assert_true(corner_error_of(1, 2) < corner_error_of(1, 60));
    assert_true(corner_error_of(6, 2) > 0.02);
}

static void where_there_is_no_edge_the_outline_stays(void **state)
{
    const struct quad guess = grown(-2);
    struct quad found = guess;
    struct photo photo;
    double corner_error;

    (void)state;
    drawing_create(210, 210, drawing_paper, &photo);
    drawing_noise(&photo, 6, 5);
    assert_false(outline_refine(&photo, &outline_of_region, &found, &corner_error));
    assert_true(isinf(corner_error));
    assert_memory_equal(&found, &guess, sizeof guess);
    photo_release(&photo);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(ink_on_bare_paper_ends_at_its_edge),
        cmocka_unit_test(ink_ends_before_the_frame_printed_about_it),
        cmocka_unit_test(ink_ends_before_another_ink_close_by),
        cmocka_unit_test(the_more_blurred_or_grainy_the_less_sure_are_corners),
        cmocka_unit_test(where_there_is_no_edge_the_outline_stays),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
