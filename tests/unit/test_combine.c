#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "analysis/combine.h"
#include "analysis/harmony.h"
#include "values/statistics.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

#define INKS 60
#define LARGE 400
#define WANTED 5

static double uniform(double from, double to)
{
    return from + (to - from) * (rand() / (RAND_MAX + 1.0));
}

/* Colours as inks have them: hues all round, a good part of them dull. */
static void scatter(struct range_ink *inks, size_t count)
{
    memset(inks, 0, count * sizeof *inks);
    for (size_t i = 0; i < count; i++) {
        double hue = uniform(0, 6.2831853), chroma = uniform(0, 1) * uniform(5, 70);

        snprintf(inks[i].name, sizeof inks[i].name, "Ink %zu", i);
        inks[i].lab = (struct lab){uniform(20, 90), chroma * cos(hue), chroma * sin(hue)};
    }
}

static struct combine_task task_for(const struct range_ink *inks, size_t count)
{
    return (struct combine_task){.inks = inks,
                                 .count = count,
                                 .colours = 3,
                                 .wanted = WANTED,
                                 .untested = blend_habit_unknown()};
}

static struct combine_answer propose(const struct combine_task *task)
{
    struct combine_answer answer;
    struct error error = {0};

    if (combine_propose(task, &answer, &error))
        fail_msg("%s", error.message);
    return answer;
}

static struct combination colours_of(const struct combine_task *task,
                                     const struct combine_proposal *proposal)
{
    struct combination colours = {.count = proposal->count};

    for (size_t i = 0; i < proposal->count; i++)
        colours.colours[i] = task->inks[proposal->inks[i]].lab;
    return colours;
}

/* --- the distance between combinations ------------------------------------------------------ */

static struct combination by_chance(size_t count)
{
    struct combination combination = {.count = count};

    for (size_t i = 0; i < count; i++)
        combination.colours[i] = (struct lab){uniform(20, 90), uniform(-50, 50), uniform(-50, 50)};
    return combination;
}

/* The least sum over all ways to match as many colours, by counting through them. */
static double count_through(const struct combination *a, const struct combination *b)
{
    size_t ways = 1, n = a->count;
    double least = HUGE_VAL;

    for (size_t i = 0; i < n; i++)
        ways *= n;
    for (size_t way = 0; way < ways; way++) {
        size_t rest = way;
        unsigned taken = 0;
        double sum = 0;

        for (size_t i = 0; i < n; i++, rest /= n) {
            taken |= 1u << rest % n;
            sum += colour_delta_e_2000(a->colours[i], b->colours[rest % n]);
        }
        if (taken == (1u << n) - 1)
            least = fmin(least, sum / (double)n);
    }
    return least;
}

static void the_distance_between_combinations_is_that_of_their_best_matching(void **state)
{
    (void)state;
    srand(1);
    for (int i = 0; i < 100; i++) {
        size_t count = 1 + (size_t)i % COMBINATION_MOST;
        struct combination a = by_chance(count), b = by_chance(count);

        assert_true(fabs(combination_distance(&a, &b) - count_through(&a, &b)) < 1e-9);
    }
}

static void
a_combination_is_no_distance_from_itself_in_any_order_and_as_far_from_either_side(void **state)
{
    (void)state;
    srand(2);
    for (int i = 0; i < 50; i++) {
        struct combination a = by_chance(4), turned = a, fewer = by_chance(3);
        struct lab kept = turned.colours[0];

        turned.colours[0] = turned.colours[2];
        turned.colours[2] = kept;
        assert_true(combination_distance(&a, &turned) < 1e-9);
        assert_true(fabs(combination_distance(&a, &fewer) - combination_distance(&fewer, &a)) <
                    1e-9);
        assert_true(combination_distance(&a, &fewer) > 0);
    }
}

/* --- pairs ---------------------------------------------------------------------------------- */

static void harmony_alone_would_favour_pairs_that_are_nearly_the_same(void **state)
{
    const struct lab blue = {50, -10, -40}, near_it = {52, -11, -38}, orange = {65, 35, 60};

    (void)state;
    assert_true(harmony_of_pair(blue, near_it) > harmony_of_pair(blue, orange));
    assert_true(fabs(harmony_of_pair(blue, orange) - harmony_of_pair(orange, blue)) < 1e-12);
}

/*
 * Source: Ou and Luo 2006, the terms HC and HL worked out by hand for two greys of L* 30 and 80;
 * the hue term of a grey is at most 0.02 x 0.3 an ink.
 */
static void the_harmony_of_two_greys_is_that_of_the_published_terms(void **state)
{
    double chromatic = 0.04 + 0.53 * 0.664037; /* tanh 0.8 */
    double lightness = 0.28 - 0.54 * 0.597982; /* tanh (-3.88 + 0.029 x 110) */
    double difference = 0.14 + 0.15;           /* tanh (-2 + 0.2 x 50) is 1 */
    double harmony = harmony_of_pair((struct lab){30, 0, 0}, (struct lab){80, 0, 0});

    (void)state;
    assert_true(fabs(harmony - (chromatic + lightness + difference)) < 0.012);
}

/*
 * Source: Ou and Luo 2006, their conclusions on hue, from memory: blue is the likeliest to make
 * harmony, red the least likely; bright yellows make it more often than dark ones. The hue term is
 * itself from memory; that it says the same of hues is all that is checked of it.
 */
static void harmony_favours_blue_over_red_and_bright_yellow_over_dark(void **state)
{
    const struct lab grey = {50, 0, 0};
    double best = -HUGE_VAL, worst = HUGE_VAL;
    int best_degrees = 0, worst_degrees = 0;

    (void)state;
    for (int degrees = 0; degrees < 360; degrees += 5) {
        double angle = degrees * 3.14159265358979 / 180;
        double harmony = harmony_of_pair((struct lab){50, 40 * cos(angle), 40 * sin(angle)}, grey);

        best_degrees = harmony > best ? degrees : best_degrees;
        best = fmax(best, harmony);
        worst_degrees = harmony < worst ? degrees : worst_degrees;
        worst = fmin(worst, harmony);
    }
    assert_in_range(best_degrees, 200, 280);
    assert_true(worst_degrees <= 40 || worst_degrees >= 340);
    assert_true(harmony_of_pair((struct lab){85, 0, 60}, (struct lab){85, 0, 0}) >
                harmony_of_pair((struct lab){45, 0, 60}, (struct lab){45, 0, 0}) + 0.2);
}

static void hues_are_similar_as_they_turn_and_greys_neither_share_nor_clash(void **state)
{
    const struct lab red = {50, 60, 0}, orange = {60, 42, 42}, green = {50, -60, 0};
    const struct lab grey = {50, 0, 0};

    (void)state;
    assert_true(harmony_hue_similarity(red, red) > 0.99);
    assert_true(harmony_hue_similarity(red, orange) > harmony_hue_similarity(red, green));
    assert_true(harmony_hue_similarity(red, green) < 0.05);
    assert_true(fabs(harmony_hue_similarity(red, grey) - 0.75) < 0.02);
    assert_true(harmony_hue_similarity(grey, (struct lab){80, 1, 1}) > 0.99);
}

static void a_blend_of_opposite_hues_is_muddy_and_one_of_neighbours_clean(void **state)
{
    const struct lab red = {50, 60, 30}, orange = {60, 45, 50}, brown = {40, 5, 8};

    (void)state;
    assert_true(combine_cleanness(red, orange, 0.5, (struct lab){55, 52, 40}) > 0.95);
    assert_true(combine_cleanness(red, (struct lab){50, -50, 20}, 0.5, brown) < COMBINE_CLEAN);
    assert_true(combine_cleanness((struct lab){80, 0, 0}, (struct lab){20, 0, 0}, 0.5,
                                  (struct lab){45, 0, 0}) > 0.99);
}

/* --- proposals ------------------------------------------------------------------------------ */

/* The floor of the pairs with the focus, or of those without. */
static double floor_of(const struct combine_task *task, bool with_focus)
{
    double *harmony = malloc(task->count * task->count * sizeof *harmony), floor;
    size_t count = 0;

    assert_non_null(harmony);
    for (size_t i = 0; i < task->count; i++)
        for (size_t j = 0; j < i; j++)
            if ((i == task->focus || j == task->focus) == with_focus)
                harmony[count++] = harmony_of_pair(task->inks[i].lab, task->inks[j].lab);
    floor = statistics_quantile(harmony, count, COMBINE_FLOOR);
    free(harmony);
    return floor;
}

/* A proposal that is not `strict` may be of inks nearer one another, and of hues farther apart. */
static void check_pairs(const struct combine_task *task, const struct combine_proposal *proposal,
                        bool strict)
{
    double least_similar = 1;
    bool focus = false;

    for (size_t i = 0; i < proposal->count; i++) {
        struct lab a = task->inks[proposal->inks[i]].lab;

        focus = focus || proposal->inks[i] == task->focus;
        for (size_t j = 0; j < i; j++) {
            struct lab b = task->inks[proposal->inks[j]].lab;

            assert_true(colour_delta_e_2000(a, b) >=
                        (strict ? COMBINE_IDENTICAL : COMBINE_IDENTICAL_EASED));
            least_similar = fmin(least_similar, harmony_hue_similarity(a, b));
        }
    }
    assert_true(focus);
    if (task->mood == COMBINE_TONAL)
        assert_true(least_similar >= (strict ? COMBINE_TONE_HUE : COMBINE_TONE_HUE_EASED));
    else
        assert_true(least_similar <= COMBINE_OTHER_HUE);
}

static void check_harmony(const struct combine_task *task, const struct combine_proposal *proposal)
{
    const double floors[2] = {floor_of(task, false), floor_of(task, true)};

    for (size_t i = 0; i < proposal->count; i++)
        for (size_t j = 0; j < i; j++) {
            size_t a = proposal->inks[i], b = proposal->inks[j];
            double harmony = harmony_of_pair(task->inks[a].lab, task->inks[b].lab);

            assert_true(harmony >= floors[a == task->focus || b == task->focus] - 1e-9);
        }
}

static bool is_grey(const struct combine_task *task, size_t ink)
{
    return colour_chroma(task->inks[ink].lab) < COMBINE_GREY_CHROMA;
}

static void check_greys(const struct combine_task *task, const struct combine_proposal *proposal)
{
    size_t greys = 0;

    for (size_t i = 0; i < proposal->count; i++) {
        const size_t *ink = &proposal->inks[i];
        bool inside = i > 0 && i + 1 < proposal->count;

        if (*ink == task->focus || !is_grey(task, *ink))
            continue;
        greys++;
        assert_true(!inside || is_grey(task, ink[-1]) || is_grey(task, ink[1]));
    }
    if (task->mood == COMBINE_CONTRAST || !is_grey(task, task->focus))
        assert_true(greys <= 1);
}

/* At most two of five proposals have an ink besides the focus, or one nearly the same. */
static void check_uses(const struct combine_task *task, const struct combine_answer *answer)
{
    for (size_t ink = 0; ink < task->count; ink++) {
        size_t uses = 0;

        for (size_t i = 0; i < answer->count; i++)
            for (size_t k = 0; k < answer->proposals[i].count; k++)
                uses += answer->proposals[i].inks[k] == ink;
        assert_true(ink == task->focus || uses <= COMBINE_USES_LEAST);
    }
}

static void check_run(const struct combine_task *task, const struct combine_proposal *proposal)
{
    double darkest = task->inks[proposal->inks[0]].lab.L;

    for (size_t i = 1; i < proposal->count; i++)
        assert_true(task->inks[proposal->inks[i]].lab.L >= darkest);
    for (size_t i = 0; i + 1 < proposal->count; i++) {
        assert_true(proposal->joins[i].clean >= COMBINE_CLEAN);
        assert_true(proposal->joins[i].forecast.u95 > 0);
    }
}

static void check_answer(const struct combine_task *task, const struct combine_answer *answer)
{
    check_uses(task, answer);
    for (size_t i = 0; i < answer->count; i++) {
        struct combination colours = colours_of(task, &answer->proposals[i]);

        assert_int_equal(answer->proposals[i].count, task->colours);
        check_pairs(task, &answer->proposals[i], i < answer->strict);
        if (task->mood == COMBINE_CONTRAST)
            check_harmony(task, &answer->proposals[i]);
        check_greys(task, &answer->proposals[i]);
        check_run(task, &answer->proposals[i]);
        assert_true(i == 0 || i >= answer->strict ||
                    answer->proposals[i].score <= answer->proposals[i - 1].score);
        for (size_t j = 0; j < i; j++) {
            struct combination other = colours_of(task, &answer->proposals[j]);

            assert_true(combination_distance(&colours, &other) >= COMBINE_UNLIKE);
        }
    }
}

static void every_proposal_keeps_all_that_is_asked_of_it(void **state)
{
    struct range_ink inks[INKS];
    struct combine_task task = task_for(inks, INKS);
    size_t proposed = 0;

    (void)state;
    srand(3);
    for (int i = 0; i < 12; i++) {
        struct combine_answer answer;

        scatter(inks, INKS);
        task.focus = (size_t)i;
        task.colours = 3 + (size_t)i % 2;
        task.mood = i % 4 < 2 ? COMBINE_TONAL : COMBINE_CONTRAST;
        answer = propose(&task);
        check_answer(&task, &answer);
        proposed += answer.count;
        combine_release(&answer);
    }
    assert_true(proposed > 30);
}

/* Greys from black to white, and colours round about them. */
static void around_a_grey_a_tonal_proposal_is_of_greys(void **state)
{
    struct range_ink inks[INKS];
    struct combine_task task = task_for(inks, INKS);
    struct combine_answer answer;

    (void)state;
    srand(7);
    scatter(inks, INKS);
    for (size_t i = 0; i < 5; i++)
        inks[i].lab = (struct lab){25 + 15 * (double)i, 1, -1};
    task.focus = 2;
    answer = propose(&task);
    assert_true(answer.count > 0);
    for (size_t i = 0; i < 3; i++)
        assert_true(is_grey(&task, answer.proposals[0].inks[i]));
    check_answer(&task, &answer);
    combine_release(&answer);
}

static void nothing_like_the_log_is_proposed_when_that_is_asked(void **state)
{
    struct range_ink inks[INKS];
    struct combine_task task = task_for(inks, INKS);
    struct combination logged[2];
    struct combine_answer first, second;

    (void)state;
    srand(4);
    scatter(inks, INKS);
    first = propose(&task);
    assert_true(first.count >= 2);
    for (size_t i = 0; i < 2; i++)
        logged[i] = colours_of(&task, &first.proposals[i]);
    task.logged = logged;
    task.logged_count = 2;
    task.unlike_log = true;
    second = propose(&task);
    assert_true(second.count > 0);
    for (size_t i = 0; i < second.count; i++) {
        struct combination colours = colours_of(&task, &second.proposals[i]);

        assert_true(combination_distance(&colours, &logged[0]) >= COMBINE_UNLIKE);
        assert_true(combination_distance(&colours, &logged[1]) >= COMBINE_UNLIKE);
        assert_true(second.proposals[i].nearest_logged >= COMBINE_UNLIKE);
    }
    combine_release(&second);
    combine_release(&first);
}

static void what_was_made_already_is_not_proposed_again(void **state)
{
    struct range_ink inks[INKS];
    struct combine_task task = task_for(inks, INKS);
    struct combine_answer first, second;
    struct combination logged;

    (void)state;
    srand(5);
    scatter(inks, INKS);
    first = propose(&task);
    assert_true(first.count > 0);
    logged = colours_of(&task, &first.proposals[0]);
    task.logged = &logged;
    task.logged_count = 1;
    second = propose(&task);
    for (size_t i = 0; i < second.count; i++)
        assert_true(second.proposals[i].nearest_logged > 0.5);
    combine_release(&second);
    combine_release(&first);
}

static void a_range_of_one_ink_or_of_equal_inks_gives_no_proposal(void **state)
{
    struct range_ink inks[INKS];
    struct combine_task task = task_for(inks, 1);
    struct combine_answer answer;

    (void)state;
    memset(inks, 0, sizeof inks);
    for (size_t i = 0; i < INKS; i++)
        inks[i].lab = (struct lab){50, 20, 20};
    answer = propose(&task);
    assert_int_equal(answer.count, 0);
    combine_release(&answer);
    task.count = INKS;
    answer = propose(&task);
    assert_int_equal(answer.count, 0);
    assert_int_equal(answer.refusals.looked_at, 0);
    assert_int_equal(answer.refusals.identical, INKS - 1);
    combine_release(&answer);
}

static void a_tested_pair_is_forecast_as_it_was_tested_from_either_side(void **state)
{
    struct range_ink inks[3];
    struct combine_task task = task_for(inks, 3);
    const struct combine_tested tested = {2, 1, {BLEND_TESTED, 0.1, 2, {0, 0, 0}}};

    (void)state;
    scatter(inks, 3);
    task.tested = &tested;
    task.tested_count = 1;
    assert_int_equal(combine_habit(&task, 0, 1).basis, BLEND_BY_LAWS);
    assert_int_equal(combine_habit(&task, 2, 1).basis, BLEND_TESTED);
    assert_true(combine_habit(&task, 2, 1).strength == 2);
    assert_true(combine_habit(&task, 1, 2).strength == 0.5);
}

static void of_a_large_range_those_far_apart_are_combined_in_seconds(void **state)
{
    static struct range_ink inks[LARGE];
    struct combine_task task = task_for(inks, LARGE);
    struct combine_answer answer;
    clock_t start = clock();

    (void)state;
    srand(6);
    scatter(inks, LARGE);
    task.colours = 4;
    answer = propose(&task);
    print_message("%zu proposals of four from %d inks: %.2f s\n", answer.count, LARGE,
                  (double)(clock() - start) / CLOCKS_PER_SEC);
    assert_int_equal(answer.left_out, LARGE - COMBINE_INKS_MAX);
    check_pairs(&task, &answer.proposals[0], answer.strict > 0);
    check_run(&task, &answer.proposals[0]);
    combine_release(&answer);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_distance_between_combinations_is_that_of_their_best_matching),
        cmocka_unit_test(
            a_combination_is_no_distance_from_itself_in_any_order_and_as_far_from_either_side),
        cmocka_unit_test(harmony_alone_would_favour_pairs_that_are_nearly_the_same),
        cmocka_unit_test(the_harmony_of_two_greys_is_that_of_the_published_terms),
        cmocka_unit_test(harmony_favours_blue_over_red_and_bright_yellow_over_dark),
        cmocka_unit_test(hues_are_similar_as_they_turn_and_greys_neither_share_nor_clash),
        cmocka_unit_test(a_blend_of_opposite_hues_is_muddy_and_one_of_neighbours_clean),
        cmocka_unit_test(every_proposal_keeps_all_that_is_asked_of_it),
        cmocka_unit_test(around_a_grey_a_tonal_proposal_is_of_greys),
        cmocka_unit_test(nothing_like_the_log_is_proposed_when_that_is_asked),
        cmocka_unit_test(what_was_made_already_is_not_proposed_again),
        cmocka_unit_test(a_range_of_one_ink_or_of_equal_inks_gives_no_proposal),
        cmocka_unit_test(a_tested_pair_is_forecast_as_it_was_tested_from_either_side),
        cmocka_unit_test(of_a_large_range_those_far_apart_are_combined_in_seconds),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
