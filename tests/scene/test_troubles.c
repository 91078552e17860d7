/*
 * Checks of what makes rendered photos hard: shapes, sizes and worn cards.
 */

#include "card_colours.h"
#include "location.h"
#include "sheet.h"
#include "stage.h"
#include "view.h"

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdlib.h>

#include <cmocka.h>

static struct sight sight_of(const struct stage *stage, struct point desk, double height)
{
    struct point seen = view_project(&stage->view, desk, height);
    struct sight sight = {.view = &stage->view, .footprint_mm = 0.1};

    view_ray(&stage->view, seen.x, seen.y, sight.direction);
    sight.desk = view_meet(&stage->view, sight.direction, 0.0);
    return sight;
}

/* The light of the paint at a place of the sheet, over that of its paper. */
static double darkness(const struct stage *stage, struct point place)
{
    const struct sheet *sheet = &stage->sheet[0];
    double height;
    struct point desk = sheet_in_space(sheet, place, &height);
    struct sight sight = sight_of(stage, desk, height);
    struct response colour = {{{0.0f}}};
    double least = 1.0;

    sheet_paint(sheet, &sight, &colour);
    for (int k = 0; k < 3; k++)
        least = fmin(least, (double)(colour.rgb[0][k] / sheet->paper_response.rgb[0][k]));
    return least;
}

static void assert_ink_within_outline(const struct stage *stage, int cell)
{
    const struct sheet *sheet = &stage->sheet[0];
    struct point points[STAMP_DISC_POINTS], middle = sheet->cells[cell].stamp_centre;
    int count = sheet_stamp_outline(sheet, cell, points);

    for (int i = 0; i < count; i++) {
        struct point way = {points[i].x - middle.x, points[i].y - middle.y};
        struct point inside = {middle.x + 0.93 * way.x, middle.y + 0.93 * way.y};
        struct point outside = {middle.x + 1.05 * way.x, middle.y + 1.05 * way.y};

        assert_true(darkness(stage, inside) < 0.97);
        assert_true(darkness(stage, outside) > 0.97);
    }
}

static void the_outline_of_ink_parts_it_from_the_paper(void **state)
{
    static const char *const labels[] = {"brushed", "circles", "groups", "pencil-grid"};

    (void)state;
    for (size_t i = 0; i < sizeof labels / sizeof *labels; i++) {
        struct plan plan = location_draw(GRADE_EVEN, 1, item_number(labels[i]));
        struct stage *stage = calloc(1, sizeof *stage);

        assert_non_null(stage);
        plan.outline = OUTLINE_NONE;
        plan.labels = plan.title = plan.marks = 0;
        plan.gap_x_mm = plan.gap_y_mm = 6.0;
        stage_build(stage, &plan);
        for (int cell = 0; cell < plan.rows * plan.columns; cell++)
            if (stage->sheet[0].cells[cell].ink != NO_INK)
                assert_ink_within_outline(stage, cell);
        stage_release(stage);
        free(stage);
    }
}

static void a_card_takes_the_share_of_the_photo_asked_for(void **state)
{
    static const double shares[] = {0.04, 0.1, 0.6};

    (void)state;
    for (int i = 0; i < 3; i++) {
        struct plan plan = location_draw(GRADE_HARD, 1, item_number("card-small"));
        struct stage *stage = calloc(1, sizeof *stage);
        const struct plate *card = &stage->card[0].plate;
        struct point left, right;

        plan.card_share = shares[i];
        stage_build(stage, &plan);
        left = view_project(&stage->view, plate_desk(card, (struct point){-card->half_width, 0}),
                            card->height);
        right = view_project(&stage->view, plate_desk(card, (struct point){card->half_width, 0}),
                             card->height);
        assert_true(fabs(hypot(right.x - left.x, right.y - left.y) / stage->view.width_px -
                         shares[i]) < 0.02 * shares[i]);
        stage_release(stage);
        free(stage);
    }
}

static void only_a_worn_card_is_off_its_values(void **state)
{
    struct observer observer = observer_load();

    (void)state;
    for (int patch = 0; patch < PATCHES; patch++) {
        struct spectrum good = patch_reflectance(&observer, EDITION_2014, patch);

        for (int print = CARD_GOOD; print <= CARD_GLOSSY; print++) {
            struct spectrum worn = card_worn(&good, patch, print, 1.0);
            double off = 0.0;

            for (int i = 0; i < BANDS; i++) {
                off = fmax(off, fabs(worn.at[i] - good.at[i]));
                assert_true(worn.at[i] > 0.0 && worn.at[i] < 1.0);
            }
            assert_true(print == CARD_GOOD ? off == 0.0 : off > 0.005);
        }
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_outline_of_ink_parts_it_from_the_paper),
        cmocka_unit_test(a_card_takes_the_share_of_the_photo_asked_for),
        cmocka_unit_test(only_a_worn_card_is_off_its_values),
    };

    return cmocka_run_group_tests_name("troubles", tests, NULL, NULL);
}
