#include "drawing.h"

#include "measurement/blocks.h"

#include <math.h>

/* A sheet to the left, a card to its right, desk around. */
static const struct drawing_grid grid = {
    {{{60, 100}, {460, 100}, {460, 500}, {60, 500}}}, 4, 4, 0.5};
static const struct quad card_place = {{{560, 100}, {860, 100}, {860, 300}, {560, 300}}};
static const struct rgb warm_desk = {{0.30, 0.20, 0.12}};

struct seen {
    struct photo photo;
    struct quad outline[16];
    struct card_pose card;
    struct chart_pose chart;
    struct blocks blocks;
};

static void look(struct rgb desk, struct seen *seen)
{
    struct lab inks[16];
    struct area_sample paper = {.at = {160, 160}, .rgb_linear = drawing_paper};
    struct error error = {0};

    memset(seen, 0, sizeof *seen);
    for (int i = 0; i < 16; i++) {
        inks[i] = (struct lab){40, 30, -20};
        seen->outline[i] = drawing_cell(&grid, i / 4, i % 4);
    }
    drawing_create(960, 640, desk, &seen->photo);
    drawing_box(&seen->photo, 560, 400, 300, 200, (struct rgb){{0.5, 0.1, 0.1}});
    drawing_chart(&seen->photo, &grid, inks);
    drawing_quad(&seen->photo, &card_place, drawing_grey(60));
    seen->card.corners = card_place;
    seen->chart = (struct chart_pose){.rows = 4, .columns = 4, .outline = seen->outline};
    assert_int_equal(blocks_create(&seen->photo, &seen->card, &seen->blocks, &error), STATUS_OK);
    blocks_bar_cells(&seen->chart, &seen->blocks);
    blocks_mark_paper(&seen->blocks, &paper, 1);
    blocks_mark_desk(&seen->blocks);
}

static void forget(struct seen *seen)
{
    blocks_release(&seen->blocks);
    photo_release(&seen->photo);
}

static struct quad sheet_drawn(void)
{
    return drawing_part(&grid, (struct point){-0.4, -0.4}, (struct point){4.4, 4.4});
}

/* The blocks of a kind, each of which must lie where `inside` says, and be of one colour. */
static int count_of(const struct seen *seen, enum block_kind kind, struct rgb colour)
{
    size_t room = (size_t)seen->blocks.rows * (size_t)seen->blocks.columns;
    struct area_sample *samples = calloc(room, sizeof *samples);
    struct quad sheet = sheet_drawn();
    size_t count = blocks_take(&seen->blocks, kind, samples);

    for (size_t i = 0; i < count; i++) {
        assert_int_equal(quad_contains(&sheet, samples[i].at), kind == BLOCK_PAPER);
        assert_false(quad_contains(&card_place, samples[i].at));
        for (int j = 0; j < 16; j++)
            assert_false(quad_contains(&seen->outline[j], samples[i].at));
        for (int k = 0; k < 3; k++)
            drawing_assert_near(samples[i].rgb_linear.channel[k], colour.channel[k], 0.01);
    }
    free(samples);
    return (int)count;
}

static void paper_grows_from_one_sample_over_the_whole_sheet_and_no_further(void **state)
{
    struct seen seen;

    (void)state;
    look(warm_desk, &seen);
    assert_true(count_of(&seen, BLOCK_PAPER, drawing_paper) > 120);
    forget(&seen);
}

static void a_desk_of_the_paper_s_own_tint_is_no_paper_if_it_is_darker(void **state)
{
    const struct rgb grey_desk = {{0.68, 0.6715, 0.6375}};
    struct seen seen;

    (void)state;
    look(grey_desk, &seen);
    assert_true(count_of(&seen, BLOCK_PAPER, drawing_paper) > 120);
    forget(&seen);
}

static void
the_desk_is_what_lies_around_most_and_neither_card_nor_cell_nor_another_thing(void **state)
{
    struct seen seen;

    (void)state;
    look(warm_desk, &seen);
    assert_true(count_of(&seen, BLOCK_DESK, warm_desk) > 500);
    forget(&seen);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(paper_grows_from_one_sample_over_the_whole_sheet_and_no_further),
        cmocka_unit_test(a_desk_of_the_paper_s_own_tint_is_no_paper_if_it_is_darker),
        cmocka_unit_test(
            the_desk_is_what_lies_around_most_and_neither_card_nor_cell_nor_another_thing),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
