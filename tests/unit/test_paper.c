#include "drawing.h"

#include "measurement/paper.h"

#include <math.h>

#define ROWS 6
#define COLUMNS 6
#define CELLS (ROWS * COLUMNS)

static const struct drawing_grid grid = {
    {{{40, 40}, {640, 40}, {640, 640}, {40, 640}}}, COLUMNS, ROWS, 0.8};

/* A chart in a light that falls off softly to a part of itself beyond the middle, and the chance
 * of photons: a relative deviation in full light. */
static void draw_chart(double shadow, double grain, struct photo *photo)
{
    uint32_t seed = drawing_seed(3);

    drawing_create(680, 680, drawing_paper, photo);
    for (int i = 0; i < CELLS; i++) {
        struct quad cell = drawing_cell(&grid, i / COLUMNS, i % COLUMNS);

        drawing_quad(photo, &cell, drawing_colour((struct lab){45, 20, -30}));
    }
    for (int y = 0; y < photo->image.height_px; y++)
        for (int x = 0; x < photo->image.width_px; x++) {
            double light = 1 - (1 - shadow) / (1 + exp((340.0 - x) / 60));

            for (int k = 0; k < 3; k++) {
                uint16_t *sample = &image_at(&photo->image, x, y)[k];
                double seen = photo_linear(photo, k, *sample) * light;
                double chance = drawing_random(&seed) + drawing_random(&seed) +
                                drawing_random(&seed) + drawing_random(&seed) - 2;

                *sample = drawing_encode(seen + chance * sqrt(3 * seen) * grain);
            }
        }
}

static struct chart_pose chart_drawn(struct quad outline[CELLS])
{
    for (int i = 0; i < CELLS; i++)
        outline[i] = drawing_cell(&grid, i / COLUMNS, i % COLUMNS);
    return (struct chart_pose){
        .rows = ROWS, .columns = COLUMNS, .outline = outline, .corners = drawing_corners(&grid)};
}

/* The samples of paper found between two places from left to right. */
static size_t found_between(const struct photo *photo, double left, double right)
{
    struct quad outline[CELLS];
    struct chart_pose chart = chart_drawn(outline);
    struct paper paper = {0};
    struct error error = {0};
    size_t count = 0;

    assert_int_equal(paper_find(photo, &chart, &paper, &error), STATUS_OK);
    for (size_t i = 0; i < paper.count; i++)
        count += paper.samples[i].at.x > left && paper.samples[i].at.x < right &&
                 quad_contains(&grid.outer, paper.samples[i].at);
    paper_release(&paper);
    return count;
}

static void paper_in_a_deep_shadow_is_found_though_it_is_grainy_there(void **state)
{
    struct photo photo;

    (void)state;
    draw_chart(0.35, 0.045, &photo);
    assert_true(found_between(&photo, 40, 240) > 20);
    assert_true(found_between(&photo, 440, 640) > 20);
    photo_release(&photo);
}

/* Add glare as of a lamp: a bell of light over paper and ink alike. */
static void draw_glare(struct point middle, double size_px, double height, struct photo *photo)
{
    for (int y = 0; y < photo->image.height_px; y++)
        for (int x = 0; x < photo->image.width_px; x++) {
            double away = point_distance(middle, (struct point){x + 0.5, y + 0.5}) / size_px;

            for (int k = 0; k < 3; k++) {
                uint16_t *sample = &image_at(&photo->image, x, y)[k];

                *sample =
                    drawing_encode(photo_linear(photo, k, *sample) + height * exp(-away * away));
            }
        }
}

static void paper_in_glare_is_no_bare_paper_but_tells_of_the_glare(void **state)
{
    const struct point middle = {340, 340}; /* between four cells */
    struct quad outline[CELLS];
    struct chart_pose chart = chart_drawn(outline);
    struct paper paper = {0};
    struct error error = {0};
    struct photo photo;

    (void)state;
    draw_chart(1, 0.01, &photo);
    draw_glare(middle, 70, 0.18, &photo);
    assert_int_equal(paper_find(&photo, &chart, &paper, &error), STATUS_OK);
    assert_true(paper.lit_count >= 3);
    for (size_t i = 0; i < paper.count; i++)
        assert_true(point_distance(paper.samples[i].at, middle) > 50);
    for (size_t i = 0; i < paper.lit_count; i++)
        assert_true(point_distance(paper.lit[i].at, middle) < 140);
    paper_release(&paper);
    photo_release(&photo);
}

/* Paper around a single line of cells on a sheet that is narrow, on a dark desk. */
static void the_desk_beside_a_single_line_of_cells_is_not_taken_for_paper(void **state)
{
    (void)state;
    for (int turned = 0; turned < 2; turned++) {
        const int rows = turned ? 1 : 5, columns = turned ? 5 : 1;
        const struct drawing_grid line = {drawing_upright(300, 300, 100 * columns, 100 * rows),
                                          columns, rows, 0.8};
        struct quad outline[5], sheet = drawing_part(&line, (struct point){-0.4, -0.4},
                                                     (struct point){columns + 0.4, rows + 0.4});
        const struct lab inks[5] = {
            {45, 20, -30}, {45, 20, -30}, {45, 20, -30}, {45, 20, -30}, {45, 20, -30}};
        struct chart_pose chart = {.rows = rows, .columns = columns, .outline = outline};
        struct paper paper = {0};
        struct error error = {0};
        struct photo photo;

        drawing_create(900, 900, drawing_desk, &photo);
        drawing_chart(&photo, &line, inks);
        for (int i = 0; i < 5; i++)
            outline[i] = drawing_cell(&line, i / columns, i % columns);
        chart.corners = drawing_corners(&line);
        assert_int_equal(paper_find(&photo, &chart, &paper, &error), STATUS_OK);
        assert_true(paper.count >= 8);
        for (size_t i = 0; i < paper.count; i++)
            assert_true(quad_contains(&sheet, paper.samples[i].at));
        paper_release(&paper);
        photo_release(&photo);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_desk_beside_a_single_line_of_cells_is_not_taken_for_paper),
        cmocka_unit_test(paper_in_a_deep_shadow_is_found_though_it_is_grainy_there),
        cmocka_unit_test(paper_in_glare_is_no_bare_paper_but_tells_of_the_glare),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
