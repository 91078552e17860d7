#include "drawing.h"

#include "measurement/glare.h"

#include <math.h>

#define SIDE_PX 100.0
#define INK_SIDE 10
#define INKS (INK_SIDE * INK_SIDE)
#define PAPERS 12

static const struct rgb ink = {{0.30, 0.08, 0.12}};

/* A cell about (0, 0) and paper around it, in the light given by a function of place. */
struct view {
    struct glare_point points[INKS + PAPERS];
    struct glare glare;
};

static void look(double (*light_at)(struct point at), uint32_t seed, struct view *view)
{
    struct error error = {0};

    for (int i = 0; i < INKS + PAPERS; i++) {
        struct glare_point *point = &view->points[i];
        double way = 6.283185307179586 * i / PAPERS;

        point->is_paper = i >= INKS;
        point->at = point->is_paper
                        ? (struct point){0.75 * SIDE_PX * cos(way), 0.75 * SIDE_PX * sin(way)}
                        : (struct point){SIDE_PX * ((i % INK_SIDE + 0.5) / INK_SIDE - 0.5),
                                         SIDE_PX * ((i / INK_SIDE + 0.5) / INK_SIDE - 0.5)};
        for (int k = 0; k < 3; k++)
            point->over_paper.channel[k] = (point->is_paper ? 1 : ink.channel[k]) +
                                           light_at(point->at) +
                                           0.01 * (drawing_random(&seed) - 0.5);
    }
    assert_int_equal(glare_fit(view->points, INKS + PAPERS, SIDE_PX, &view->glare, &error),
                     STATUS_OK);
}

static double none(struct point at)
{
    (void)at;
    return 0;
}

static double lamp(struct point at)
{
    return 0.25 * exp(-(pow(at.x - 30, 2) + pow(at.y - 20, 2)) / (60.0 * 60.0));
}

/* Stripes, as of a blind: no bell makes these. */
static double blind(struct point at)
{
    return 0.08 * sin(at.x / 12) * (fabs(at.x) > SIDE_PX / 2 || fabs(at.y) > SIDE_PX / 2);
}

static void a_cell_in_even_light_has_no_glare(void **state)
{
    struct view view;

    (void)state;
    look(none, drawing_seed(1), &view);
    assert_false(view.glare.found);
    assert_true(view.glare.uncertain < 0.001);
}

static void the_glare_of_a_lamp_is_taken_off(void **state)
{
    struct view view;

    (void)state;
    look(lamp, drawing_seed(2), &view);
    assert_true(view.glare.found);
    assert_true(view.glare.removed > 0.02);
    for (int k = 0; k < 3; k++)
        assert_true(fabs(view.glare.over_paper.channel[k] - ink.channel[k]) <
                    2 * view.glare.uncertain);
}

/* Paper that shows through dark ink towards one side, as of a pad pressed askew. */
static double pressed_askew(struct point at)
{
    bool is_ink = fabs(at.x) < SIDE_PX / 2 && fabs(at.y) < SIDE_PX / 2;

    return is_ink ? 0.3 * exp(-(pow(at.x - 45, 2) + at.y * at.y) / (50.0 * 50.0)) : 0;
}

static void paper_that_shows_through_ink_is_no_glare_if_none_lies_on_the_paper_beside(void **state)
{
    struct view view;

    (void)state;
    look(pressed_askew, drawing_seed(4), &view);
    assert_false(view.glare.found);
}

static void paper_that_differs_from_place_to_place_makes_ink_unsure(void **state)
{
    struct view view;

    (void)state;
    look(blind, drawing_seed(3), &view);
    assert_true(view.glare.uncertain > 0.01);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_cell_in_even_light_has_no_glare),
        cmocka_unit_test(the_glare_of_a_lamp_is_taken_off),
        cmocka_unit_test(paper_that_shows_through_ink_is_no_glare_if_none_lies_on_the_paper_beside),
        cmocka_unit_test(paper_that_differs_from_place_to_place_makes_ink_unsure),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
