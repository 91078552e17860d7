#include "drawing.h"

#include "card_values.h"
#include "location/card_pose.h"
#include "vision/regions.h"

#define WIDTH 420
#define HEIGHT 340

static const struct rgb daylight = {{0.9, 0.9, 0.9}};

/* --- drawing and looking -------------------------------------------------------------------- */

/* What was found in a photo. */
struct found {
    enum status status;
    struct card_pose pose;
    struct card_pose second;
    struct error error;
};

static struct found find(const struct photo *photo)
{
    struct card card = card_values();
    struct found found = {.status = STATUS_OK};
    struct regions regions = {0};
    struct lattices lattices = {0};

    if (regions_find(&photo->image, 0, 2, &regions, &found.error) ||
        lattice_find_all(&regions, &lattices, &found.error))
        fail_msg("%s", found.error.message);
    found.status =
        card_pose_find(photo, &lattices, &card, &found.pose, &found.second, &found.error);
    lattices_release(&lattices);
    regions_release(&regions);
    return found;
}

static struct found find_and_release(struct photo *photo)
{
    struct found found = find(photo);

    photo_release(photo);
    return found;
}

static void desk(struct photo *photo)
{
    drawing_create(WIDTH, HEIGHT, drawing_lit(drawing_desk, (struct rgb){{2, 2, 2}}), photo);
}

static struct drawing_grid upright_card(void)
{
    return drawing_card_grid(drawing_upright(90, 90, 240, 160));
}

static void draw(struct photo *photo, const struct drawing_grid *grid, struct rgb light)
{
    struct card card = card_values();

    drawing_card(photo, grid, &card, light);
}

/* Cover one patch with a colour far from its own. */
static void cover(struct photo *photo, const struct drawing_grid *grid, int patch)
{
    struct quad area = drawing_cell(grid, patch / CARD_COLUMNS, patch % CARD_COLUMNS);
    struct card card = card_values();
    struct lab lab = {card.patch[patch].L > 55 ? 25 : 85, -card.patch[patch].a / 2,
                      -card.patch[patch].b / 2};

    area = quad_inset(&area, -0.05);
    drawing_quad(photo, &area, drawing_lit(drawing_colour(lab), daylight));
}

static void assert_at(const struct card_pose *pose, const struct drawing_grid *grid, double within)
{
    struct quad corners = drawing_corners(grid);

    assert_true(pose->found);
    drawing_assert_near(drawing_distance(&pose->corners, &corners), 0, within);
    for (int i = 0; i < CARD_PATCHES; i++) {
        struct quad patch = drawing_cell(grid, i / CARD_COLUMNS, i % CARD_COLUMNS);

        drawing_assert_near(point_distance(quad_centre(&pose->patch[i]), quad_centre(&patch)), 0,
                            within);
        drawing_assert_near(quad_area(&pose->patch[i]) / quad_area(&patch), 1, 0.1);
    }
}

static int hidden_count(const struct card_pose *pose)
{
    int count = 0;

    for (int i = 0; i < CARD_PATCHES; i++)
        count += pose->hidden[i];
    return count;
}

/* --- where it lies -------------------------------------------------------------------------- */

static void the_card_is_found_in_each_of_four_turns_to_under_a_pixel(void **state)
{
    struct quad upright = drawing_upright(90, 90, 240, 160);
    struct quad standing = drawing_upright(130, 50, 160, 240);

    (void)state;
    for (int turns = 0; turns < 4; turns++) {
        const struct quad *place = turns % 2 ? &standing : &upright;
        struct drawing_grid grid = drawing_card_grid(drawing_turned(place, turns));
        struct photo photo;
        struct found found;

        desk(&photo);
        draw(&photo, &grid, daylight);
        drawing_blur(&photo, 0.8);
        drawing_noise(&photo, 2, drawing_seed(1));
        found = find_and_release(&photo);
        assert_int_equal(found.status, STATUS_OK);
        assert_int_equal(found.pose.turns, turns);
        assert_at(&found.pose, &grid, 1);
        assert_int_equal(hidden_count(&found.pose), 0);
        assert_false(found.pose.given);
        assert_false(found.second.found);
    }
}

static void the_card_is_found_askew_and_tilted_to_under_a_pixel(void **state)
{
    (void)state;
    for (int axis = 0; axis < 360; axis += 40) {
        struct drawing_view view = {{210, 170}, 230, 153, 35, axis, 600};
        struct quad outer = drawing_tilted(&view);
        struct drawing_grid grid;
        struct photo photo;
        struct found found;

        outer = drawing_rotated(&outer, axis / 3.0);
        grid = drawing_card_grid(outer);
        desk(&photo);
        draw(&photo, &grid, daylight);
        drawing_blur(&photo, 0.8);
        drawing_noise(&photo, 2, drawing_seed(2));
        found = find_and_release(&photo);
        assert_int_equal(found.status, STATUS_OK);
        assert_at(&found.pose, &grid, 1);
    }
}

static void the_card_is_found_in_strong_tints_and_exposures(void **state)
{
    static const struct rgb lights[] = {{{1, 0.6, 0.3}},   {{0.5, 0.75, 1}},
                                        {{0.6, 1, 0.6}},   {{0.15, 0.15, 0.15}},
                                        {{1.3, 1.3, 1.3}}, {{0.3, 0.2, 0.12}}};

    (void)state;
    for (size_t i = 0; i < sizeof lights / sizeof *lights; i++) {
        struct drawing_grid grid = upright_card();
        struct photo photo;
        struct found found;

        desk(&photo);
        draw(&photo, &grid, lights[i]);
        drawing_blur(&photo, 0.7);
        found = find_and_release(&photo);
        if (found.status)
            fail_msg("light %zu: %s", i, found.error.message);
        assert_int_equal(found.pose.turns, 0);
        assert_at(&found.pose, &grid, 1);
    }
}

/* --- covered patches ------------------------------------------------------------------------ */

static void with_six_patches_covered_the_card_is_still_found(void **state)
{
    (void)state;
    for (unsigned number = 0; number < 12; number++) {
        struct drawing_grid grid = upright_card();
        uint32_t seed = drawing_seed(number);
        bool covered[CARD_PATCHES] = {false};
        struct photo photo;
        struct found found;

        desk(&photo);
        draw(&photo, &grid, daylight);
        for (int left = 6; left;) {
            int i = (int)(CARD_PATCHES * drawing_random(&seed));

            if (covered[i])
                continue;
            covered[i] = true;
            cover(&photo, &grid, i);
            left--;
        }
        drawing_blur(&photo, 0.7);
        found = find_and_release(&photo);
        if (found.status)
            fail_msg("seed %u: %s", number, found.error.message);
        assert_int_equal(found.pose.turns, 0);
        assert_at(&found.pose, &grid, 1.5);
    }
}

/* A slip of paper over the two right-hand columns. */
static void a_slip_over_a_third_of_the_card_leaves_it_found(void **state)
{
    struct drawing_grid grid = upright_card();
    struct quad slip = drawing_part(&grid, (struct point){4.02, -0.5}, (struct point){6.5, 4.5});
    struct photo photo;
    struct found found;

    (void)state;
    desk(&photo);
    draw(&photo, &grid, daylight);
    drawing_quad(&photo, &slip, drawing_paper);
    drawing_blur(&photo, 0.7);
    found = find_and_release(&photo);
    assert_int_equal(found.status, STATUS_OK);
    assert_int_equal(found.pose.turns, 0);
    drawing_assert_near(
        point_distance(found.pose.corners.corner[0], drawing_corners(&grid).corner[0]), 0, 1);
    for (int i = 0; i < CARD_PATCHES; i++)
        if (i % CARD_COLUMNS < 4)
            assert_false(found.pose.hidden[i]);
}

/* --- two cards ------------------------------------------------------------------------------ */

static void patches_beyond_the_photos_edge_are_outside_and_not_covered(void **state)
{
    struct drawing_grid grid = drawing_card_grid(drawing_upright(-36, 90, 240, 160));
    struct photo photo;
    struct found found;

    (void)state;
    desk(&photo);
    draw(&photo, &grid, daylight);
    drawing_blur(&photo, 0.7);
    found = find_and_release(&photo);
    if (found.status)
        fail_msg("%s", found.error.message);
    for (int i = 0; i < CARD_PATCHES; i++) {
        assert_int_equal(found.pose.outside[i], i % CARD_COLUMNS == 0);
        assert_int_equal(found.pose.hidden[i], i % CARD_COLUMNS == 0);
    }
}

static void of_two_cards_the_better_comes_first(void **state)
{
    (void)state;
    for (int spoiled = 0; spoiled < 2; spoiled++) {
        struct quad lower =
            drawing_rotated(&(struct quad){{{210, 180}, {390, 180}, {390, 300}, {210, 300}}}, 20);
        struct drawing_grid cards[2] = {drawing_card_grid(drawing_upright(30, 20, 180, 120)),
                                        drawing_card_grid(drawing_turned(&lower, 2))};
        struct photo photo;
        struct found found;

        desk(&photo);
        for (int i = 0; i < 2; i++)
            draw(&photo, &cards[i], daylight);
        for (int i = 3; i < CARD_PATCHES; i += 9)
            cover(&photo, &cards[spoiled], i);
        drawing_blur(&photo, 0.7);
        found = find_and_release(&photo);
        assert_int_equal(found.status, STATUS_OK);
        assert_at(&found.pose, &cards[1 - spoiled], 1);
        assert_at(&found.second, &cards[spoiled], 1.5);
        assert_int_equal(hidden_count(&found.pose), 0);
        assert_int_equal(hidden_count(&found.second), 3);
        assert_true(found.pose.misfit < found.second.misfit);
    }
}

/* --- what is refused ------------------------------------------------------------------------ */

static void a_mirrored_card_is_refused_and_said_to_be(void **state)
{
    struct quad upright = drawing_upright(90, 90, 240, 160);

    (void)state;
    for (int turns = 0; turns < 4; turns += 2) {
        struct quad turned = drawing_turned(&upright, turns);
        struct drawing_grid grid = drawing_card_grid((struct quad){
            {turned.corner[1], turned.corner[0], turned.corner[3], turned.corner[2]}});
        struct card card = card_values();
        struct photo photo;
        struct found found;

        desk(&photo);
        for (int i = 0; i < CARD_PATCHES; i++) {
            struct quad patch = drawing_cell(&grid, i / CARD_COLUMNS, i % CARD_COLUMNS);
            struct quad clockwise = {
                {patch.corner[1], patch.corner[0], patch.corner[3], patch.corner[2]}};

            drawing_quad(&photo, &clockwise, drawing_colour(card.patch[i]));
        }
        drawing_blur(&photo, 0.7);
        found = find_and_release(&photo);
        assert_int_equal(found.status, STATUS_NOT_FOUND);
        assert_false(found.pose.found);
        drawing_assert_helpful(&found.error, "mirrored", "save it unmirrored");
    }
}

static void a_photo_without_a_card_says_so(void **state)
{
    struct photo photo;
    struct found found;

    (void)state;
    desk(&photo);
    drawing_noise(&photo, 3, drawing_seed(3));
    found = find_and_release(&photo);
    assert_int_equal(found.status, STATUS_NOT_FOUND);
    assert_false(found.pose.found);
    drawing_assert_helpful(&found.error, "no reference card", "--card-at");
}

static void a_chart_of_24_random_inks_is_not_taken_for_a_card(void **state)
{
    int looked_at = 0;

    (void)state;
    for (unsigned number = 0; number < 150; number++) {
        struct drawing_grid grid = upright_card();
        uint32_t seed = drawing_seed(number);
        struct lab inks[CARD_PATCHES];
        struct photo photo;
        struct found found;

        for (int i = 0; i < CARD_PATCHES; i++)
            inks[i] = drawing_ink(&seed);
        desk(&photo);
        drawing_chart(&photo, &grid, inks);
        found = find_and_release(&photo);
        if (found.status != STATUS_NOT_FOUND)
            fail_msg("seed %u: taken for a card that misses by %g", number, found.pose.misfit);
        looked_at += strstr(found.error.message, "likeliest grid") != NULL;
        drawing_assert_helpful(&found.error, "no reference card", "--card-at");
    }
    assert_true(looked_at > 0); /* else the grids were not even seen */
}

/* A third like the card's, as other colour charts have it, makes a fair mean. */
static void a_chart_with_some_of_the_cards_colours_is_not_taken_for_it(void **state)
{
    struct drawing_grid grid = upright_card();
    struct card card = card_values();
    struct lab colours[CARD_PATCHES];
    struct photo photo;
    struct found found;

    (void)state;
    for (int i = 0; i < CARD_PATCHES; i++) {
        double aside = i % 2 ? 17 : -17;

        colours[i] = card.patch[i];
        if (i < CARD_FIRST_NEUTRAL) {
            colours[i].a += aside;
            colours[i].b -= i % 3 ? aside : -aside;
        }
    }
    desk(&photo);
    drawing_chart(&photo, &grid, colours);
    found = find_and_release(&photo);
    assert_int_equal(found.status, STATUS_NOT_FOUND);
    drawing_assert_helpful(&found.error, "no reference card", "half of them by");
    assert_true(strtod(strstr(found.error.message, "delta E ") + strlen("delta E "), NULL) < 16);
}

/* --- corners given by hand ------------------------------------------------------------------ */

static struct found place(const struct photo *photo, const struct quad *corners)
{
    struct card card = card_values();
    struct found found = {.status = STATUS_OK};

    found.status = card_pose_from_corners(photo, corners, &card, &found.pose, &found.error);
    return found;
}

static void corners_given_in_any_turn_place_the_card_where_it_is_found(void **state)
{
    struct drawing_view view = {{210, 170}, 240, 160, 25, 30, 700};
    struct drawing_grid grid = drawing_card_grid(drawing_tilted(&view));
    struct quad corners = drawing_corners(&grid);
    struct photo photo;
    struct found found;

    (void)state;
    desk(&photo);
    draw(&photo, &grid, daylight);
    drawing_blur(&photo, 0.8);
    found = find(&photo);
    assert_int_equal(found.status, STATUS_OK);
    for (int first = 0; first < 4; first++) {
        struct quad turned = drawing_turned(&corners, first);
        struct found placed = place(&photo, &turned);

        if (placed.status)
            fail_msg("from corner %d on: %s", first, placed.error.message);
        assert_true(placed.pose.given);
        assert_int_equal(placed.pose.turns, found.pose.turns);
        assert_at(&placed.pose, &grid, 1);
        drawing_assert_near(drawing_distance(&placed.pose.corners, &found.pose.corners), 0, 0.3);
    }
    photo_release(&photo);
}

static void corners_given_a_few_pixels_off_are_moved_onto_the_card(void **state)
{
    struct drawing_grid grid = upright_card();
    struct quad corners = drawing_corners(&grid);
    struct photo photo;
    struct found placed;

    (void)state;
    corners.corner[0].x -= 2.5;
    corners.corner[1].y += 2;
    corners.corner[2].x += 2;
    corners.corner[3].y += 2.5;
    desk(&photo);
    draw(&photo, &grid, daylight);
    drawing_blur(&photo, 0.8);
    placed = place(&photo, &corners);
    photo_release(&photo);
    assert_int_equal(placed.status, STATUS_OK);
    assert_at(&placed.pose, &grid, 1);
}

static void corners_given_where_no_card_lies_are_refused(void **state)
{
    struct drawing_grid grid = upright_card();
    struct quad elsewhere = drawing_upright(10, 10, 150, 100);
    struct photo photo;
    struct found placed;

    (void)state;
    desk(&photo);
    draw(&photo, &grid, daylight);
    placed = place(&photo, &elsewhere);
    photo_release(&photo);
    assert_int_equal(placed.status, STATUS_NOT_FOUND);
    assert_false(placed.pose.found);
    drawing_assert_helpful(&placed.error, "card", "--card-at");
}

static void corners_given_outside_the_photo_are_refused(void **state)
{
    struct quad outside = drawing_upright(3 * WIDTH, 10, 150, 100);
    struct photo photo;
    struct found placed;

    (void)state;
    desk(&photo);
    placed = place(&photo, &outside);
    photo_release(&photo);
    assert_int_equal(placed.status, STATUS_NOT_FOUND);
    drawing_assert_helpful(&placed.error, "card", "--card-at");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_card_is_found_in_each_of_four_turns_to_under_a_pixel),
        cmocka_unit_test(the_card_is_found_askew_and_tilted_to_under_a_pixel),
        cmocka_unit_test(the_card_is_found_in_strong_tints_and_exposures),
        cmocka_unit_test(with_six_patches_covered_the_card_is_still_found),
        cmocka_unit_test(a_slip_over_a_third_of_the_card_leaves_it_found),
        cmocka_unit_test(patches_beyond_the_photos_edge_are_outside_and_not_covered),
        cmocka_unit_test(of_two_cards_the_better_comes_first),
        cmocka_unit_test(a_mirrored_card_is_refused_and_said_to_be),
        cmocka_unit_test(a_photo_without_a_card_says_so),
        cmocka_unit_test(a_chart_of_24_random_inks_is_not_taken_for_a_card),
        cmocka_unit_test(a_chart_with_some_of_the_cards_colours_is_not_taken_for_it),
        cmocka_unit_test(corners_given_in_any_turn_place_the_card_where_it_is_found),
        cmocka_unit_test(corners_given_a_few_pixels_off_are_moved_onto_the_card),
        cmocka_unit_test(corners_given_where_no_card_lies_are_refused),
        cmocka_unit_test(corners_given_outside_the_photo_are_refused),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
