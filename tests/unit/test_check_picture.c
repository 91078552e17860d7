#include "fixture.h"

#include "card_values.h"
#include "output/check_layout.h"
#include "output/check_picture.h"

#include <math.h>

#define ROWS 2
#define COLUMNS 3
#define PHOTO_GREY 180

/* --- a photo and its measurement, by hand --------------------------------------------------- */

struct drawn {
    struct photo photo;
    struct measurement measurement;
    struct card card;
};

static struct quad square(double x, double y, double side)
{
    return (struct quad){{{x, y}, {x + side, y}, {x + side, y + side}, {x, y + side}}};
}

static void make_photo(int width_px, int height_px, struct photo *photo)
{
    struct error error = {0};

    snprintf(photo->path, sizeof photo->path, "allotment/even light.jpg");
    if (image_create(width_px, height_px, &photo->image, &error))
        fail_msg("%s", error.message);
    for (size_t i = 0; i < (size_t)width_px * (size_t)height_px * IMAGE_CHANNELS; i++)
        photo->image.samples[i] = PHOTO_GREY * 257;
}

static void make_card(struct drawn *subject)
{
    struct card_pose *pose = &subject->measurement.card;
    struct correction_quality *quality = &subject->measurement.quality;

    pose->shape = subject->card.shape = card_values_shape;
    pose->corners = (struct quad){{{10, 200}, {130, 200}, {130, 280}, {10, 280}}};
    for (int i = 0; i < CARD_PATCHES; i++) {
        pose->patch[i] =
            square(12 + i % CARD_COLUMNS * 20, 202 + (double)(i / CARD_COLUMNS) * 20, 16);
        subject->card.patch[i] = (struct lab){20 + 3 * i, 0, 0};
        snprintf(subject->card.patch_name[i], sizeof subject->card.patch_name[i], "grey %d", i);
        quality->measured[i] = subject->card.patch[i];
        quality->used[i] = true;
    }
    quality->patches = quality->patches_used = CARD_PATCHES;
}

static void make_chart(struct measurement *measurement)
{
    struct measured_chart *chart = &measurement->charts[0];

    measurement->chart_count = 1;
    chart->pose.rows = ROWS;
    chart->pose.columns = COLUMNS;
    chart->pose.outline = calloc(ROWS * COLUMNS, sizeof *chart->pose.outline);
    chart->pose.seen = calloc(ROWS * COLUMNS, sizeof *chart->pose.seen);
    chart->readings = calloc(ROWS * COLUMNS, sizeof *chart->readings);
    assert_non_null(chart->pose.outline);
    assert_non_null(chart->pose.seen);
    assert_non_null(chart->readings);
    for (int i = 0; i < ROWS * COLUMNS; i++) {
        struct reading *reading = &chart->readings[i];

        reading->row = i / COLUMNS + 1;
        reading->column = i % COLUMNS + 1;
        reading->outline = square(20 + i % COLUMNS * 60, 20 + (double)(i / COLUMNS) * 60, 50);
        reading->sampled = quad_inset(&reading->outline, 0.2);
        chart->pose.outline[i] = reading->outline;
    }
    chart->pose.corners = (struct quad){{{20, 20}, {190, 20}, {190, 130}, {20, 130}}};
    measurement->paper = (struct lab){95, 0, 2};
}

/* The first cell is sRGB's own red, as the D50 profile connection space has it (from memory). */
static const struct lab chart_colours[ROWS * COLUMNS] = {
    {54.29, 80.81, 69.89}, {30, 10, -20}, {62, -30, 25}, {80, 5, 60}, {45, 130, -120}, {95, 0, 2},
};
enum { RED_CELL = 0, VIVID_CELL = 4, BLANK_CELL = 5 };

static void make_subject(int width_px, int height_px, struct drawn *subject)
{
    memset(subject, 0, sizeof *subject);
    make_photo(width_px, height_px, &subject->photo);
    make_card(subject);
    make_chart(&subject->measurement);
    for (int i = 0; i < ROWS * COLUMNS; i++) {
        subject->measurement.charts[0].readings[i].lab = chart_colours[i];
        subject->measurement.charts[0].readings[i].u95 = 1.4;
    }
    subject->measurement.charts[0].readings[BLANK_CELL].found = CELL_EMPTY;
}

static void release_subject(struct drawn *subject)
{
    measurement_release(&subject->measurement);
    photo_release(&subject->photo);
}

/* --- the picture read back ------------------------------------------------------------------ */

static struct photo read_picture(const char *path)
{
    struct photo picture;
    struct error error = {0};

    fixture_unmark(path);
    if (photo_read(path, 0, &picture, &error))
        fail_msg("%s", error.message);
    unlink(path); /* without its mark it would not be replaced */
    return picture;
}

static struct check_subject subject_of(const struct drawn *drawn)
{
    return (struct check_subject){
        .photo = &drawn->photo, .measurement = &drawn->measurement, .card = &drawn->card};
}

static void write_picture(const struct drawn *subject, const struct names *names, const char *path)
{
    struct check_subject of = subject_of(subject);
    struct error error = {0};

    of.names = names;
    if (check_picture_write(path, &of, &error))
        fail_msg("%s", error.message);
}

static int level(const struct photo *picture, double x, double y, int channel)
{
    return image_at(&picture->image, (int)x, (int)y)[channel] / 257;
}

static void assert_pixel(const struct photo *picture, double x, double y, const int wanted[3])
{
    for (int k = 0; k < 3; k++)
        assert_in_range(level(picture, x, y, k) + 2, wanted[k], wanted[k] + 4);
}

static void srgb_of(struct lab lab, int wanted[3])
{
    struct rgb rgb;

    colour_srgb_from_lab(&lab, 1, &rgb);
    for (int k = 0; k < 3; k++)
        wanted[k] = (int)lround(rgb.channel[k] * 255);
}

/* Whether any pixel in the upper left of a tile differs from its middle. */
static bool has_mark(const struct photo *picture, struct box tile)
{
    for (int y = 1; y < tile.height / 3; y++)
        for (int x = 1; x < tile.width / 4; x++)
            for (int k = 0; k < 3; k++)
                if (abs(level(picture, tile.x + x, tile.y + y, k) -
                        level(picture, tile.x + tile.width / 2, tile.y + tile.height / 2, k)) > 40)
                    return true;
    return false;
}

static struct box tile_of(const struct drawn *subject, int cell)
{
    struct check_layout layout = check_layout_make(&subject->photo.image, ROWS, COLUMNS, false);

    return check_layout_tile(&layout, cell / COLUMNS + 1, cell % COLUMNS + 1);
}

static int dark_pixels(const struct photo *picture, struct box box)
{
    int count = 0;

    for (int y = (int)box.y; y < picture->image.height_px; y++)
        for (int x = (int)box.x; x < box.x + box.width; x++)
            count += level(picture, x, y, 0) < 90;
    return count;
}

/* --- what is drawn -------------------------------------------------------------------------- */

static void check_picture_is_a_png_of_its_usual_width(void **state)
{
    static const int sizes[][2] = {{400, 300}, {300, 400}, {1200, 64}, {64, 1200}, {300, 300}};
    const char *path = fixture_path("usual.png");

    (void)state;
    for (size_t i = 0; i < sizeof sizes / sizeof *sizes; i++) {
        struct drawn subject;
        struct photo picture;

        make_subject(sizes[i][0], sizes[i][1], &subject);
        write_picture(&subject, NULL, path);
        picture = read_picture(path);
        assert_int_equal(picture.stored_width_px, CHECK_WIDTH_PX);
        photo_release(&picture);
        release_subject(&subject);
    }
}

static void chip_of_a_cell_has_the_colour_measured(void **state)
{
    const char *path = fixture_path("chips.png");
    const int red[3] = {255, 0, 0};
    struct drawn subject;
    struct photo picture;
    struct box tile;

    (void)state;
    make_subject(400, 300, &subject);
    write_picture(&subject, NULL, path);
    picture = read_picture(path);
    for (int i = 0; i < BLANK_CELL; i++) {
        int wanted[3];

        tile = tile_of(&subject, i);
        srgb_of(chart_colours[i], wanted);
        assert_pixel(&picture, tile.x + tile.width / 2, tile.y + tile.height / 2, wanted);
    }
    tile = tile_of(&subject, RED_CELL);
    assert_pixel(&picture, tile.x + tile.width / 2, tile.y + tile.height / 2, red);
    photo_release(&picture);
    release_subject(&subject);
}

static void colour_no_screen_shows_is_marked(void **state)
{
    const char *path = fixture_path("vivid.png");
    struct drawn subject;
    struct photo picture;

    (void)state;
    make_subject(300, 400, &subject);
    write_picture(&subject, NULL, path);
    picture = read_picture(path);
    assert_true(has_mark(&picture, tile_of(&subject, VIVID_CELL)));
    assert_false(has_mark(&picture, tile_of(&subject, VIVID_CELL - 1)));
    photo_release(&picture);
    release_subject(&subject);
}

static void empty_cell_has_no_chip(void **state)
{
    const char *path = fixture_path("empty.png");
    struct drawn subject;
    struct photo picture;
    struct box tile;
    int ground[3];

    (void)state;
    make_subject(400, 300, &subject);
    write_picture(&subject, NULL, path);
    picture = read_picture(path);
    for (int k = 0; k < 3; k++)
        ground[k] = level(&picture, 4, picture.image.height_px - 4, k);
    tile = tile_of(&subject, BLANK_CELL);
    assert_pixel(&picture, tile.x + tile.width / 2, tile.y + tile.height / 2, ground);
    photo_release(&picture);
    release_subject(&subject);
}

/* Pixels of a tile that two pictures show unlike. */
static int different_pixels(const struct photo *a, const struct photo *b, struct box tile)
{
    int count = 0;

    for (int y = (int)tile.y; y < tile.y + tile.height; y++)
        for (int x = (int)tile.x; x < tile.x + tile.width; x++)
            count += abs(level(a, x, y, 1) - level(b, x, y, 1)) > 40;
    return count;
}

static void flagged_cell_bears_marks_and_its_neighbours_none(void **state)
{
    const char *plain = fixture_path("plain.png"), *flagged = fixture_path("flagged.png");
    struct drawn subject;
    struct photo without, with;

    (void)state;
    make_subject(400, 300, &subject);
    write_picture(&subject, NULL, plain);
    subject.measurement.charts[0].readings[1].flags = FLAG_GLARE;
    write_picture(&subject, NULL, flagged);
    without = read_picture(plain);
    with = read_picture(flagged);
    assert_int_equal(different_pixels(&without, &with, tile_of(&subject, 0)), 0);
    assert_true(different_pixels(&without, &with, tile_of(&subject, 1)) > 40);
    assert_int_equal(different_pixels(&without, &with, tile_of(&subject, 2)), 0);
    photo_release(&without);
    photo_release(&with);
    release_subject(&subject);
}

static void odd_names_are_drawn_all_the_same(void **state)
{
    struct name cells[ROWS * COLUMNS] = {
        {.ink = "Juniper 1 \xEF\xBF\xBE"}, /* U+FFFE: valid UTF-8, no character */
        {.ink = "\xFF\xC3"},               /* no UTF-8 */
        {.ink = "Beetrootbeetrootbeetrootbeetrootbeetrootbeetrootbeetrootbeetroot 12"},
        {.ink = "M\xC3\xBCllers \xE8\x97\x8D"},
        {.ink = "\x01\n"},
    };
    const struct names names = {ROWS, COLUMNS, cells};
    const char *path = fixture_path("odd.png");
    struct drawn subject;
    struct photo picture;

    (void)state;
    make_subject(400, 300, &subject);
    snprintf(subject.photo.path, sizeof subject.photo.path, "\xEF\xB7\x90/\xFE.jpg");
    write_picture(&subject, &names, path);
    picture = read_picture(path);
    photo_release(&picture);
    release_subject(&subject);
}

static void refusal_shows_the_photo_and_its_reason(void **state)
{
    const char *path = fixture_path("refusal.png");
    const int grey[3] = {PHOTO_GREY, PHOTO_GREY, PHOTO_GREY};
    const struct measurement nothing = {0};
    struct check_subject of;
    struct error error = {0};
    struct drawn subject;
    struct photo picture;
    struct check_layout layout;

    (void)state;
    make_subject(400, 300, &subject);
    of = subject_of(&subject);
    of.measurement = &nothing;
    if (check_picture_write_refusal(path, &of, "allotment/even light.jpg: no reference card found",
                                    &error))
        fail_msg("%s", error.message);
    picture = read_picture(path);
    layout = check_layout_make(&subject.photo.image, 0, 0, false);
    assert_int_equal(picture.stored_width_px, CHECK_WIDTH_PX);
    assert_pixel(&picture, layout.photo.width / 2, layout.photo.height / 2, grey);
    assert_true(dark_pixels(&picture, layout.panel) > 1000);
    photo_release(&picture);
    release_subject(&subject);
}

static void refusal_outlines_the_card_that_was_found(void **state)
{
    const char *path = fixture_path("card_only.png");
    struct measurement card_only = {0};
    struct check_subject of;
    struct error error = {0};
    struct drawn subject;
    struct photo picture;
    double scale;

    (void)state;
    make_subject(400, 300, &subject);
    card_only.card = subject.measurement.card;
    of = subject_of(&subject);
    of.measurement = &card_only;
    if (check_picture_write_refusal(path, &of, "no chart", &error))
        fail_msg("%s", error.message);
    picture = read_picture(path);
    scale = CHECK_WIDTH_PX / 400.0;
    assert_true(level(&picture, 70 * scale, 200 * scale, 0) > 240);
    assert_true(level(&picture, 70 * scale, 200 * scale - 3, 0) < 120);
    photo_release(&picture);
    release_subject(&subject);
}

/* --- where things stand --------------------------------------------------------------------- */

static void assert_tile_is_clear(const struct check_layout *layout, int row, int column)
{
    struct box tile = check_layout_tile(layout, row, column);

    assert_true(tile.width >= 8 && tile.height >= 8);
    assert_true(tile.x >= 0 && tile.x + tile.width <= CHECK_WIDTH_PX);
    assert_true(tile.x >= layout->photo.x + layout->photo.width ||
                tile.y >= layout->photo.y + layout->photo.height);
    assert_true(layout->facts.x >= tile.x + tile.width || layout->facts.y >= tile.y + tile.height ||
                layout->facts.y < layout->grid.y);
}

static void every_chart_has_room_beside_every_photo(void **state)
{
    static const int sizes[][2] = {{1600, 1200}, {1200, 1600}, {3000, 200}, {200, 3000}, {80, 80}};
    static const int charts[][2] = {{1, 1}, {3, 2}, {12, 10}, {40, 25}, {25, 40}, {2, 40}};

    (void)state;
    for (size_t i = 0; i < sizeof sizes / sizeof *sizes; i++)
        for (size_t j = 0; j < sizeof charts / sizeof *charts; j++) {
            const struct image photo = {sizes[i][0], sizes[i][1], NULL};
            struct check_layout layout =
                check_layout_make(&photo, charts[j][0], charts[j][1], true);

            for (int row = 1; row <= charts[j][0]; row++)
                for (int column = 1; column <= charts[j][1]; column++)
                    assert_tile_is_clear(&layout, row, column);
            assert_true(layout.notes.x + layout.notes.width <= CHECK_WIDTH_PX);
        }
}

static void a_chart_of_twelve_columns_has_room_for_its_names(void **state)
{
    static const struct image photos[] = {{1600, 1200, NULL}, {1200, 1600, NULL}};

    (void)state;
    for (size_t i = 0; i < sizeof photos / sizeof *photos; i++) {
        struct check_layout layout = check_layout_make(&photos[i], 10, 12, true);

        assert_true(layout.name_px >= 14);
        assert_true(layout.column_px >= 140); /* "Thin Cornflower 30" in two lines */
    }
}

/* --- what goes wrong ------------------------------------------------------------------------ */

static void another_ending_is_refused(void **state)
{
    struct check_subject of;
    struct error error = {0};
    struct drawn subject;

    (void)state;
    make_subject(400, 300, &subject);
    of = subject_of(&subject);
    assert_int_equal(check_picture_write(fixture_path("check.jpg"), &of, &error), STATUS_USAGE);
    assert_non_null(strstr(error.message, "check.jpg"));
    assert_int_not_equal(access(fixture_path("check.jpg"), F_OK), 0);
    release_subject(&subject);
}

static void folder_that_is_not_there_is_a_file_fault(void **state)
{
    struct check_subject of;
    struct error error = {0};
    struct drawn subject;

    (void)state;
    make_subject(400, 300, &subject);
    of = subject_of(&subject);
    assert_int_equal(check_picture_write(fixture_path("missing/check.png"), &of, &error),
                     STATUS_FILE);
    assert_non_null(strstr(error.message, "missing/check.png"));
    release_subject(&subject);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(check_picture_is_a_png_of_its_usual_width),
        cmocka_unit_test(chip_of_a_cell_has_the_colour_measured),
        cmocka_unit_test(colour_no_screen_shows_is_marked),
        cmocka_unit_test(empty_cell_has_no_chip),
        cmocka_unit_test(flagged_cell_bears_marks_and_its_neighbours_none),
        cmocka_unit_test(odd_names_are_drawn_all_the_same),
        cmocka_unit_test(refusal_shows_the_photo_and_its_reason),
        cmocka_unit_test(refusal_outlines_the_card_that_was_found),
        cmocka_unit_test(every_chart_has_room_beside_every_photo),
        cmocka_unit_test(a_chart_of_twelve_columns_has_room_for_its_names),
        cmocka_unit_test(another_ending_is_refused),
        cmocka_unit_test(folder_that_is_not_there_is_a_file_fault),
    };

    return cmocka_run_group_tests_name("check picture", tests, fixture_setup, fixture_teardown);
}
