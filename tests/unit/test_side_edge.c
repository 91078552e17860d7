#include "drawing.h"

#include "location/side_edge.h"

#include <math.h>

/* Ink above, paper below: the edge of a swatch's lower side lies at this height. */
#define EDGE_Y 100.0

static const struct lab blue = {35, 10, -35};

static void draw(struct lab ink, double blur_px, struct photo *photo)
{
    drawing_create(240, 200, drawing_paper, photo);
    drawing_box(photo, 0, 0, 240, EDGE_Y, drawing_colour(ink));
    drawing_blur(photo, blur_px);
}

/* Scan for the edge from a guess that lies at a height, and let go of the photo. */
static struct side_edge find(struct photo *photo, double guess_y)
{
    const struct side_scan side = {{190, guess_y}, {50, guess_y}, {0, 1}, 15, 15};
    struct side_edge edge;

    side_edge_find(&photo->image, &side, &outline_of_region, &edge);
    photo_release(photo);
    return edge;
}

static void every_scan_finds_the_edge_from_either_side_of_it(void **state)
{
    (void)state;
    for (double guess = EDGE_Y - 6; guess <= EDGE_Y + 6; guess += 4) {
        struct photo photo;
        struct side_edge edge;

        draw(blue, 1, &photo);
        edge = find(&photo, guess);
        assert_int_equal(edge.count, SIDE_SCANS);
        for (int i = 0; i < edge.count; i++)
            drawing_assert_near(edge.offset_px[i], EDGE_Y - guess,
                                0.6); /* encoded, a blur leans inwards */
    }
}

static void scans_are_told_by_how_far_along_the_side_they_lie(void **state)
{
    struct photo photo;
    struct side_edge edge;

    (void)state;
    draw(blue, 1, &photo);
    edge = find(&photo, EDGE_Y);
    drawing_assert_near(edge.along[0], -0.35, 0.01);
    drawing_assert_near(edge.along[SIDE_SCANS / 2], 0, 0.01);
    drawing_assert_near(edge.along[SIDE_SCANS - 1], 0.35, 0.01);
}

static void a_blurred_edge_is_said_to_be_more_blurred(void **state)
{
    struct photo sharp, soft;
    double sharp_px, soft_px;

    (void)state;
    draw(blue, 0.6, &sharp);
    draw(blue, 2.5, &soft);
    sharp_px = find(&sharp, EDGE_Y).blur_px;
    soft_px = find(&soft, EDGE_Y).blur_px;
    assert_true(soft_px > 2 * sharp_px);
    drawing_assert_near(soft_px, 2.5 * sqrt(2 * 3.14159),
                        2); /* of a Gaussian: its area over its peak */
}

static void even_paper_has_no_edge(void **state)
{
    struct photo photo;

    (void)state;
    drawing_create(240, 200, drawing_paper, &photo);
    drawing_noise(&photo, 2, drawing_seed(3));
    assert_int_equal(find(&photo, EDGE_Y).count, 0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_scan_finds_the_edge_from_either_side_of_it),
        cmocka_unit_test(scans_are_told_by_how_far_along_the_side_they_lie),
        cmocka_unit_test(a_blurred_edge_is_said_to_be_more_blurred),
        cmocka_unit_test(even_paper_has_no_edge),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
