#include "printed_fixture.h"

#include "location/printed_test.h"

/* How a printer prints, by numbers typed and by photos of its test page, drawn so. */

static const struct point a4_mm = {210, 297};

static void assert_prints(const struct printed_test *test, const struct printed_test *wanted,
                          double within_mm)
{
    drawing_assert_near(test->scale.x, wanted->scale.x, within_mm / 200);
    drawing_assert_near(test->scale.y, wanted->scale.y, within_mm / 200);
    drawing_assert_near(test->shift_mm.x, wanted->shift_mm.x, within_mm);
    drawing_assert_near(test->shift_mm.y, wanted->shift_mm.y, within_mm);
}

static void a_frame_measured_true_is_of_a_true_printer(void **state)
{
    struct printed_test test =
        printed_test_measured((struct point){30, 30}, (struct point){100, 150});

    (void)state;
    assert_prints(&test, &(struct printed_test){{1, 1}, {0, 0}}, 1e-9);
}

static void a_frame_measured_says_how_a_printer_scales_and_shifts(void **state)
{
    /* by hand: at 98 % the corner drawn at 30 mm comes out at 29.4, and lies 1.6 mm farther */
    struct printed_test test =
        printed_test_measured((struct point){31, 28.4}, (struct point){98, 153});

    (void)state;
    assert_prints(&test, &(struct printed_test){{0.98, 1.02}, {1.6, -2.2}}, 1e-9);
}

/* --- photos ----------------------------------------------------------------------------------- */

/* A camera nearly above the page, on a ground; `off` moves one corner of the paper, as a fold. */
static void draw_page(struct photo *photo, const struct printed_test *printer, struct rgb ground,
                      double off_px)
{
    const struct quad paper = {{{70, 60}, {890, 80}, {905, 1215 + off_px}, {50, 1230}}};
    const struct quad seen = {{{70, 60}, {890, 80}, {905, 1215}, {50, 1230}}};
    const struct quad page = {{{0, 0}, {a4_mm.x, 0}, a4_mm, {0, a4_mm.y}}};
    const struct homography_points points = {.from = page.corner, .to = seen.corner, .count = 4};
    const struct printed_chart chart = {.page_mm = a4_mm};
    struct homography habit = {{printer->scale.x, 0, printer->shift_mm.x, 0, printer->scale.y,
                                printer->shift_mm.y, 0, 0, 1}};
    struct homography map;
    struct error error;

    drawing_create(960, 1280, ground, photo);
    drawing_quad(photo, &paper, drawing_paper);
    assert_int_equal(homography_fit(&points, &map, &error), STATUS_OK);
    map = homography_compose(&map, &habit);
    for (int corner = 0; corner < 4; corner++)
        printed_draw_tag(photo, &map, printed_chart_tag(&chart, corner),
                         (struct printed_mark){PRINTED_TEST_SHEET, corner});
    drawing_blur(photo, 1);
    drawing_noise(photo, 2, 3);
}

static void a_photo_of_the_test_page_says_how_a_printer_prints(void **state)
{
    const struct printed_test printers[] = {
        {{1, 1}, {0, 0}}, {{0.97, 0.97}, {3.2, 4.1}}, {{1.008, 0.995}, {-1.5, 2}}};

    (void)state;
    for (size_t i = 0; i < sizeof printers / sizeof *printers; i++) {
        struct photo photo;
        struct printed_test test;
        struct error error;

        draw_page(&photo, &printers[i], drawing_desk, 0);
        assert_int_equal(printed_test_read(&photo, a4_mm, &test, &error), STATUS_OK);
        assert_prints(&test, &printers[i], 0.25); /* as well as with a ruler */
        photo_release(&photo);
    }
}

static void assert_refused(struct photo *photo, struct point page_mm, enum status status,
                           const char *advice)
{
    struct printed_test test;
    struct error error;

    assert_int_equal(printed_test_read(photo, page_mm, &test, &error), status);
    drawing_assert_helpful(&error, advice, advice);
    photo_release(photo);
}

static void paper_on_paper_is_refused(void **state)
{
    struct photo photo;

    (void)state;
    draw_page(&photo, &(struct printed_test){{1, 1}, {0, 0}}, drawing_paper, 0);
    assert_refused(&photo, a4_mm, STATUS_QUALITY, "darker ground");
}

static void paper_of_another_size_is_refused(void **state)
{
    struct photo photo;

    (void)state;
    draw_page(&photo, &(struct printed_test){{1, 1}, {0, 0}}, drawing_desk, 0);
    assert_refused(&photo, (struct point){215.9, 279.4}, STATUS_QUALITY, "--page");
}

static void a_folded_corner_is_refused(void **state)
{
    struct photo photo;

    (void)state;
    draw_page(&photo, &(struct printed_test){{1, 1}, {0, 0}}, drawing_desk, -30);
    assert_refused(&photo, a4_mm, STATUS_QUALITY, "flat on a darker ground");
}

static void a_photo_without_the_page_is_refused(void **state)
{
    struct photo photo;

    (void)state;
    drawing_create(960, 1280, drawing_desk, &photo);
    assert_refused(&photo, a4_mm, STATUS_NOT_FOUND, "woad sheet test");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_frame_measured_true_is_of_a_true_printer),
        cmocka_unit_test(a_frame_measured_says_how_a_printer_scales_and_shifts),
        cmocka_unit_test(a_photo_of_the_test_page_says_how_a_printer_prints),
        cmocka_unit_test(paper_on_paper_is_refused),
        cmocka_unit_test(paper_of_another_size_is_refused),
        cmocka_unit_test(a_folded_corner_is_refused),
        cmocka_unit_test(a_photo_without_the_page_is_refused),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
