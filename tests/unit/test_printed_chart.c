#include "printed_fixture.h"

#include "location/printed_chart.h"

#define SHEET 7
#define CELL_PX 88.0 /* about a cell's width in these photos */

static const struct point a4_mm = {210, 297};

static struct printed_chart chart_of(const struct printed_wish *wish)
{
    struct printed_chart chart;
    struct error error;

    assert_int_equal(printed_chart_lay_out(wish, &chart, &error), STATUS_OK);
    return chart;
}

static struct printed_chart a4_chart(void)
{
    const struct printed_wish wish = {.page_mm = a4_mm};

    return chart_of(&wish);
}

/* --- laying out ------------------------------------------------------------------------------- */

static void cells_lie_on_the_page_and_off_one_another(const struct printed_chart *chart)
{
    struct quad last = printed_chart_cell(chart, chart->rows, chart->columns);
    struct point lower_tag = printed_chart_tag(chart, 2);

    assert_true(chart->first_mm.y >= PRINTED_MARGIN_MM + PRINTED_TAG_MM);
    assert_true(last.corner[2].x <= chart->page_mm.x - PRINTED_MARGIN_MM + 1e-9);
    assert_true(last.corner[2].y + PRINTED_NAME_MM <= lower_tag.y - chart->card_mm.y);
    assert_true(chart->pitch_mm.x - chart->cell_mm.x >= PRINTED_GAP_MM - 1e-9);
    assert_true(chart->pitch_mm.y - chart->cell_mm.y >= PRINTED_NAME_MM + PRINTED_GAP_MM - 1e-9);
}

static void cells_fit_on_pages_of_any_size(void **state)
{
    const struct point pages[] = {{210, 297}, {297, 210}, {148, 210}, {215.9, 279.4}};

    (void)state;
    for (size_t i = 0; i < sizeof pages / sizeof *pages; i++)
        for (int columns = 0; columns <= 7; columns++) {
            const struct printed_wish wish = {
                .page_mm = pages[i], .columns = columns, .card_mm = {0, columns * 5.0}};
            struct printed_chart chart = chart_of(&wish);

            cells_lie_on_the_page_and_off_one_another(&chart);
            assert_true(!columns || chart.columns == columns);
        }
}

static void a_side_told_is_kept(void **state)
{
    const struct printed_wish wish = {.page_mm = a4_mm, .cell_mm = 15};
    struct printed_chart chart = chart_of(&wish);

    (void)state;
    drawing_assert_near(chart.cell_mm.x, 15, 1e-9);
    drawing_assert_near(chart.cell_mm.y, 15, 1e-9);
}

static void cells_that_can_not_fit_are_refused_with_what_would(void **state)
{
    const struct printed_wish wish = {.page_mm = a4_mm, .rows = 30, .columns = 5};
    struct printed_chart chart;
    struct error error;

    (void)state;
    assert_int_equal(printed_chart_lay_out(&wish, &chart, &error), STATUS_USAGE);
    assert_non_null(strstr(error.message, "it has room for"));
}

/* --- tags ------------------------------------------------------------------------------------- */

/* The page as a camera sees it: turned, and tilted away. */
static struct homography view(int turns)
{
    const struct quad seen = {{{60, 40}, {880, 60}, {900, 1180}, {40, 1220}}};
    struct quad turned, page;
    struct homography from_unit, to_unit, map;
    struct error error;

    for (int i = 0; i < 4; i++)
        turned.corner[(i + turns) % 4] = seen.corner[i];
    page = (struct quad){{{0, 0}, {a4_mm.x, 0}, {a4_mm.x, a4_mm.y}, {0, a4_mm.y}}};
    assert_int_equal(homography_from_quad(&turned, &from_unit, &error), STATUS_OK);
    assert_int_equal(homography_from_quad(&page, &to_unit, &error), STATUS_OK);
    to_unit = homography_invert(&to_unit);
    map = homography_compose(&from_unit, &to_unit);
    return map;
}

/* A photo of a sheet of which some corners are seen. */
static void draw_sheet(struct photo *photo, int turns, const char *corners)
{
    struct printed_chart chart = a4_chart();
    struct homography map = view(turns);

    drawing_create(960, 1280, drawing_paper, photo);
    for (const char *corner = corners; *corner; corner++)
        printed_draw_tag(photo, &map, printed_chart_tag(&chart, *corner - '0'),
                         (struct printed_mark){SHEET, *corner - '0'});
    drawing_blur(photo, 1);
    drawing_noise(photo, 2, 3);
}

/* How far a tag's corners are from where they were drawn, on average, with the sign kept. */
static struct point mean_error(const struct tags *tags, const struct homography *map)
{
    struct printed_chart chart = a4_chart();
    struct point sum = {0, 0};

    for (int i = 0; i < tags->count; i++) {
        struct quad ring = printed_chart_ring(&chart, tags->items[i].corner);

        for (int k = 0; k < 4; k++)
            sum = point_add(sum, point_subtract(tags->items[i].ring.corner[k],
                                                homography_apply(map, ring.corner[k])));
    }
    return point_scale(sum, 0.25 / tags->count);
}

static void assert_sheet_lies_there(const struct photo *photo, int turns, int tags_seen,
                                    double within_px)
{
    struct printed_chart chart = a4_chart();
    struct homography map = view(turns);
    struct tags tags;
    struct printed_pose pose;
    struct error error;

    assert_int_equal(tags_find(photo, &tags, &error), STATUS_OK);
    assert_int_equal(tags.count, tags_seen);
    drawing_assert_near(mean_error(&tags, &map).x, 0, 0.1);
    drawing_assert_near(mean_error(&tags, &map).y, 0, 0.1);
    assert_true(printed_chart_find(&chart, &tags, SHEET, &pose));
    assert_int_equal(pose.tags, tags_seen);
    for (int i = 0; i < 4; i++) {
        struct quad first = printed_chart_cell(&chart, 1, 1);
        struct point seen = homography_apply(&pose.from_page, first.corner[i]);
        struct point true_at = homography_apply(&map, first.corner[i]);

        drawing_assert_near(seen.x, true_at.x, within_px);
        drawing_assert_near(seen.y, true_at.y, within_px);
    }
}

static void a_sheet_is_found_in_every_turn(void **state)
{
    (void)state;
    for (int turns = 0; turns < 4; turns++) {
        struct photo photo;

        draw_sheet(&photo, turns, "0123");
        assert_sheet_lies_there(&photo, turns, 4, 0.5);
        photo_release(&photo);
    }
}

static void two_tags_are_enough(void **state)
{
    struct photo photo;

    (void)state;
    draw_sheet(&photo, 1, "02");
    assert_sheet_lies_there(&photo, 1, 2, 0.03 * CELL_PX);
    photo_release(&photo);
}

static void no_tag_is_found_in_swatches(void **state)
{
    struct photo photo;
    struct tags tags;
    struct error error;

    (void)state;
    draw_sheet(&photo, 0, "");
    assert_int_equal(tags_find(&photo, &tags, &error), STATUS_OK);
    assert_int_equal(tags.count, 0);
    photo_release(&photo);
}

static void every_number_has_a_pattern_of_its_own(void **state)
{
    bool one[TAG_MODULES][TAG_MODULES], other[TAG_MODULES][TAG_MODULES];

    (void)state;
    tag_pattern(1, 0, one);
    tag_pattern(TAG_SHEETS - 1, 3, other);
    assert_true(memcmp(one, other, sizeof one) != 0);
    for (int i = 2; i < 7; i++) { /* tagStandard41h12: five white modules a side within black */
        assert_false(one[2][i] || one[6][i] || one[i][2] || one[i][6]);
        assert_true(one[1][i] && one[7][i] && other[i][1] && other[i][7]);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(cells_fit_on_pages_of_any_size),
        cmocka_unit_test(a_side_told_is_kept),
        cmocka_unit_test(cells_that_can_not_fit_are_refused_with_what_would),
        cmocka_unit_test(a_sheet_is_found_in_every_turn),
        cmocka_unit_test(two_tags_are_enough),
        cmocka_unit_test(no_tag_is_found_in_swatches),
        cmocka_unit_test(every_number_has_a_pattern_of_its_own),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
