/* Where inked cells tell how a printed chart lies: drawn sheets, photographed aslant. */

#include "printed_fixture.h"

#include "location/chart_pose.h"
#include "location/printed_chart.h"

#define SHEET 7
#define INK_RIM_MM 1.0 /* bare within a frame */

static const struct point a4_mm = {210, 297};

/* How a sheet was photographed. */
struct sheet_view {
    const char *corners; /* those of its marks that are seen */
    int inked;           /* cells, from the first */
    double bend_mm;      /* how far the page's middle seems shifted to the right */
};

static struct printed_chart a4_chart(void)
{
    const struct printed_wish wish = {.page_mm = a4_mm, .cell_mm = 22};
    struct printed_chart chart;
    struct error error;

    assert_int_equal(printed_chart_lay_out(&wish, &chart, &error), STATUS_OK);
    return chart;
}

/* The page tilted away from the camera, and askew. */
static struct homography aslant(void)
{
    const struct quad seen = {{{90, 60}, {860, 110}, {905, 1190}, {30, 1225}}};
    const struct quad page = {{{0, 0}, {210, 0}, {210, 297}, {0, 297}}};
    struct homography from_unit, to_unit;
    struct error error;

    assert_int_equal(homography_from_quad(&seen, &from_unit, &error), STATUS_OK);
    assert_int_equal(homography_from_quad(&page, &to_unit, &error), STATUS_OK);
    to_unit = homography_invert(&to_unit);
    return homography_compose(&from_unit, &to_unit);
}

/* Paper that lifts off the desk shows its middle elsewhere than flat paper does. */
static struct point bent(const struct sheet_view *view, struct point at)
{
    double x = 2 * at.x / a4_mm.x - 1;

    return (struct point){at.x + view->bend_mm * (1 - x * x), at.y};
}

static struct quad seen_quad(const struct sheet_view *view, const struct homography *map,
                             struct quad on_page)
{
    for (int k = 0; k < 4; k++)
        on_page.corner[k] = homography_apply(map, bent(view, on_page.corner[k]));
    return on_page;
}

/* The inked part of a cell; `rim_mm` 0: its frame. */
static struct quad cell_at(const struct printed_chart *chart, int cell, double rim_mm)
{
    struct quad frame =
        printed_chart_cell(chart, cell / chart->columns + 1, cell % chart->columns + 1);

    return drawing_upright(frame.corner[0].x + rim_mm, frame.corner[0].y + rim_mm,
                           chart->cell_mm.x - 2 * rim_mm, chart->cell_mm.y - 2 * rim_mm);
}

static void draw_sheet(const struct sheet_view *view, struct photo *photo)
{
    struct printed_chart chart = a4_chart();
    struct homography map = aslant();
    uint32_t seed = drawing_seed(5);

    drawing_create(960, 1280, drawing_paper, photo);
    for (int i = 0; i < view->inked; i++) {
        struct quad ink = seen_quad(view, &map, cell_at(&chart, i, INK_RIM_MM));

        drawing_quad(photo, &ink, drawing_colour(drawing_ink(&seed)));
    }
    for (const char *corner = view->corners; *corner; corner++)
        printed_draw_tag(photo, &map, printed_chart_tag(&chart, *corner - '0'),
                         (struct printed_mark){SHEET, *corner - '0'});
    drawing_blur(photo, 1);
    drawing_noise(photo, 2, 3);
}

/* The pose by the marks that are seen, before and after the cells are asked. */
static void find_poses(const struct photo *photo, struct printed_pose poses[2])
{
    struct printed_chart chart = a4_chart();
    struct tags tags;
    struct error error;

    assert_int_equal(tags_find(photo, &tags, &error), STATUS_OK);
    assert_true(printed_chart_find(&chart, &tags, SHEET, &poses[0]));
    poses[1] = poses[0];
    assert_int_equal(printed_chart_settle(photo, &chart, &tags, SHEET, &poses[1], &error),
                     STATUS_OK);
}

/* How far a pose has the farthest cell's middle off its place, in parts of a cell's width. */
static double farthest_off(const struct printed_pose *pose)
{
    struct printed_chart chart = a4_chart();
    struct homography map = aslant();
    double farthest = 0;

    for (int i = 0; i < chart.rows * chart.columns; i++) {
        struct quad cell = cell_at(&chart, i, 0);
        struct point middle = quad_centre(&cell);
        double off_px = point_distance(homography_apply(&pose->from_page, middle),
                                       homography_apply(&map, middle));

        farthest = fmax(farthest, off_px / (pose->scale * chart.cell_mm.x));
    }
    return farthest;
}

/* --- few marks -------------------------------------------------------------------------------- */

static void cells_settle_what_two_or_three_marks_leave_open(void **state)
{
    static const char *const seen[] = {"01", "02", "03", "12", "13", "012"};

    (void)state;
    for (size_t i = 0; i < sizeof seen / sizeof *seen; i++) {
        const struct sheet_view view = {seen[i], 40, 0};
        struct printed_pose poses[2];
        struct photo photo;

        draw_sheet(&view, &photo);
        find_poses(&photo, poses);
        assert_true(farthest_off(&poses[0]) > 0.015); /* else there was nothing to settle */
        drawing_assert_near(farthest_off(&poses[1]), 0, 0.01);
        assert_true(poses[1].sure);
        photo_release(&photo);
    }
}

static void corners_and_scale_keep_in_step_with_the_settled_map(void **state)
{
    const struct sheet_view view = {"01", 40, 0};
    struct printed_chart chart = a4_chart();
    struct quad first = cell_at(&chart, 0, 0);
    struct printed_pose poses[2];
    struct photo photo;

    (void)state;
    draw_sheet(&view, &photo);
    find_poses(&photo, poses);
    drawing_assert_near(point_distance(poses[1].corners.corner[0],
                                       homography_apply(&poses[1].from_page, first.corner[0])),
                        0, 1e-6);
    assert_true(point_distance(poses[0].corners.corner[2], poses[1].corners.corner[2]) > 1);
    photo_release(&photo);
}

/* From one mark far cells would be guessed by whole cells off, and take their neighbours' names. */
static void one_mark_is_never_sure(void **state)
{
    static const char *const seen[] = {"0", "1", "2", "3"};

    (void)state;
    for (size_t i = 0; i < sizeof seen / sizeof *seen; i++) {
        const struct sheet_view view = {seen[i], 40, 0};
        struct printed_pose poses[2];
        struct photo photo;

        draw_sheet(&view, &photo);
        find_poses(&photo, poses);
        assert_int_equal(poses[1].tags, 1);
        assert_false(poses[1].sure);
        photo_release(&photo);
    }
}

static void two_marks_are_not_sure_where_too_few_cells_are_inked(void **state)
{
    const struct sheet_view view = {"02", 3, 0};
    struct printed_pose poses[2];
    struct photo photo;

    (void)state;
    draw_sheet(&view, &photo);
    find_poses(&photo, poses);
    assert_false(poses[1].sure);
    assert_memory_equal(&poses[0].from_page, &poses[1].from_page, sizeof poses[0].from_page);
    photo_release(&photo);
}

/* --- paper that bends ------------------------------------------------------------------------- */

/* How far the farthest outline's middle is off, in parts of a cell's width. */
static double outlines_off(const struct sheet_view *view)
{
    struct printed_chart chart = a4_chart();
    struct homography map = aslant();
    struct quad outline[CHART_CELLS_MAX];
    struct photo photo;
    struct error error;
    double farthest = 0;

    draw_sheet(view, &photo);
    assert_int_equal(printed_chart_place(&photo, &chart, &map, outline, &error), STATUS_OK);
    for (int i = 0; i < chart.rows * chart.columns; i++) {
        struct quad wanted = seen_quad(view, &map, cell_at(&chart, i, 0));
        double off_px = point_distance(quad_centre(&outline[i]), quad_centre(&wanted));

        farthest = fmax(farthest, off_px / point_distance(wanted.corner[0], wanted.corner[1]));
    }
    photo_release(&photo);
    return farthest;
}

static void flat_paper_is_given_no_bend(void **state)
{
    (void)state;
    drawing_assert_near(outlines_off(&(struct sheet_view){"0123", 40, 0}), 0, 0.005);
}

static void bent_paper_is_followed_by_its_cells(void **state)
{
    (void)state;
    drawing_assert_near(outlines_off(&(struct sheet_view){"0123", 40, 1.5}), 0, 0.01);
    drawing_assert_near(outlines_off(&(struct sheet_view){"0123", 40, -1.5}), 0, 0.01);
}

static void cells_never_inked_follow_the_others(void **state)
{
    (void)state;
    drawing_assert_near(outlines_off(&(struct sheet_view){"0123", 28, 1.5}), 0, 0.02);
}

static void too_few_cells_tell_no_bend(void **state)
{
    (void)state;
    drawing_assert_near(outlines_off(&(struct sheet_view){"0123", 6, 2}), 2.0 / 22, 0.01);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(cells_settle_what_two_or_three_marks_leave_open),
        cmocka_unit_test(corners_and_scale_keep_in_step_with_the_settled_map),
        cmocka_unit_test(one_mark_is_never_sure),
        cmocka_unit_test(two_marks_are_not_sure_where_too_few_cells_are_inked),
        cmocka_unit_test(flat_paper_is_given_no_bend),
        cmocka_unit_test(bent_paper_is_followed_by_its_cells),
        cmocka_unit_test(cells_never_inked_follow_the_others),
        cmocka_unit_test(too_few_cells_tell_no_bend),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
