#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "analysis/order.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

#define FAMILIES 4
#define LARGE 300
#define CELLS 12

static double uniform(double from, double to)
{
    return from + (to - from) * (rand() / (RAND_MAX + 1.0));
}

static int below(int limit)
{
    return (int)uniform(0, limit);
}

static void scatter(struct range_ink *inks, size_t *family, size_t count, double spread)
{
    memset(inks, 0, count * sizeof *inks);
    for (size_t i = 0; i < count; i++) {
        snprintf(inks[i].name, sizeof inks[i].name, "Ink %zu", i);
        inks[i].lab = (struct lab){50 + uniform(-spread, spread) / 2, uniform(-spread, spread),
                                   uniform(-spread, spread)};
        family[i] = (size_t)below(FAMILIES);
    }
}

static struct order arrange(const struct order_task *task)
{
    struct order order;
    struct error error = {0};

    if (order_arrange(task, &order, &error))
        fail_msg("%s", error.message);
    return order;
}

static double step(const struct order_task *task, size_t a, size_t b)
{
    return colour_delta_e_2000(task->inks[a].lab, task->inks[b].lab);
}

/* --- the order ------------------------------------------------------------------------------ */

static void check_families(const struct order_task *task, const struct order *order)
{
    bool seen[LARGE] = {false};
    size_t last = 0;

    assert_int_equal(order->count, task->count);
    for (size_t i = 0; i < order->count; i++) {
        assert_false(seen[order->inks[i]]);
        seen[order->inks[i]] = true;
        assert_true(task->family[order->inks[i]] >= last);
        last = task->family[order->inks[i]];
    }
}

static void families_stand_together_in_their_order_and_each_ink_once(void **state)
{
    struct range_ink inks[60];
    size_t family[60];

    (void)state;
    srand(1);
    for (size_t count = 1; count <= 60; count += 7) {
        struct order_task task = {inks, family, count, FAMILIES};
        struct order order;

        scatter(inks, family, count, 50);
        order = arrange(&task);
        check_families(&task, &order);
        order_release(&order);
    }
}

/* The steps between families for every way to turn them. */
static double least_joins(const struct order_task *task, const struct order *order)
{
    double least = HUGE_VAL;

    for (unsigned turns = 0; turns < 1u << FAMILIES; turns++) {
        long before = -1;
        double length = 0;

        for (size_t k = 0; k < FAMILIES; k++) {
            const struct order_family *family = &order->families[k];
            bool turned = turns >> k & 1;
            size_t first, last;

            if (!family->count)
                continue;
            first = order->inks[family->first + (turned ? family->count - 1 : 0)];
            last = order->inks[family->first + (turned ? 0 : family->count - 1)];
            if (before >= 0)
                length += step(task, (size_t)before, first);
            before = (long)last;
        }
        least = fmin(least, length);
    }
    return least;
}

static void families_are_turned_so_that_the_steps_between_them_are_least(void **state)
{
    struct range_ink inks[20];
    size_t family[20];
    struct order_task task = {inks, family, 20, FAMILIES};

    (void)state;
    srand(2);
    for (int i = 0; i < 30; i++) {
        double within = 0;
        struct order order;

        scatter(inks, family, 20, 50);
        order = arrange(&task);
        for (size_t k = 0; k < FAMILIES; k++)
            within += order.families[k].path.length;
        assert_true(fabs(order.length - within - least_joins(&task, &order)) < 1e-6);
        order_release(&order);
    }
}

static void three_hundred_inks_are_put_in_order_near_the_bounds_in_seconds(void **state)
{
    static struct range_ink inks[LARGE];
    static size_t family[LARGE];
    struct order_task task = {inks, family, LARGE, FAMILIES};
    double length = 0, bound = 0;
    clock_t start = clock();
    struct order order;

    (void)state;
    srand(3);
    scatter(inks, family, LARGE, 60);
    order = arrange(&task);
    check_families(&task, &order);
    for (size_t k = 0; k < FAMILIES; k++) {
        length += order.families[k].path.length;
        bound += order.families[k].path.bound;
    }
    print_message("300 inks in %d families: gap %.2f %%, %.2f s\n", FAMILIES,
                  100 * (length - bound) / length, (double)(clock() - start) / CLOCKS_PER_SEC);
    assert_true(bound <= length && length - bound < 0.04 * length);
    order_release(&order);
}

static void equal_inks_and_a_single_one_are_put_in_an_order_of_no_length(void **state)
{
    struct range_ink inks[40];
    size_t family[40] = {0};
    struct order_task task = {inks, family, 40, 1};
    struct order order;

    (void)state;
    memset(inks, 0, sizeof inks);
    for (size_t i = 0; i < 40; i++)
        inks[i].lab = (struct lab){40, 10, 10};
    order = arrange(&task);
    check_families(&task, &order);
    assert_true(order.length == 0 && order.families[0].path.proven);
    order_release(&order);
    task.count = 1;
    order = arrange(&task);
    assert_int_equal(order.count, 1);
    order_release(&order);
}

/* --- one more ink --------------------------------------------------------------------------- */

/* The length of the path over the cells that hold an ink with a colour. */
static double cells_length(const struct order_task *task, const long *cells, size_t count)
{
    long before = -1;
    double length = 0;

    for (size_t i = 0; i < count; i++) {
        if (cells[i] < 0)
            continue;
        if (before >= 0)
            length += step(task, (size_t)before, (size_t)cells[i]);
        before = cells[i];
    }
    return length;
}

/* Cells with the inks 0 and on, some blank, some without a colour. */
static size_t fill_cells(long *cells, size_t count)
{
    size_t ink = 0;

    for (size_t i = 0; i < count; i++) {
        int kind = below(6);

        cells[i] = kind == 0 ? ORDER_BLANK : kind == 1 ? ORDER_COLOURLESS : (long)ink++;
    }
    return ink;
}

static bool beside_kin(const struct order_task *task, const long *cells, size_t count, size_t at,
                       size_t ink)
{
    for (int way = -1; way <= 1; way += 2) {
        long i = (long)at + way;

        while (i >= 0 && i < (long)count && cells[i] < 0)
            i += way;
        if (i >= 0 && i < (long)count && task->family[cells[i]] == task->family[ink])
            return true;
    }
    return false;
}

/* The least growth over every gap beside an ink of the family, or over all where there is none. */
static double least_growth(const struct order_task *task, const long *cells, size_t count,
                           size_t ink)
{
    double all = HUGE_VAL, kin = HUGE_VAL, before = cells_length(task, cells, count);
    long tried[CELLS + 1];

    for (size_t at = 0; at <= count; at++) {
        double growth;

        memcpy(tried, cells, at * sizeof *cells);
        tried[at] = (long)ink;
        memcpy(tried + at + 1, cells + at, (count - at) * sizeof *cells);
        growth = cells_length(task, tried, count + 1) - before;
        all = fmin(all, growth);
        if (beside_kin(task, tried, count + 1, at, ink))
            kin = fmin(kin, growth);
    }
    return isfinite(kin) ? kin : all;
}

static void check_slotted(const long *cells, const long *slotted, size_t count, size_t ink,
                          const struct order_slot *slot)
{
    long before[CELLS + 1], after[CELLS + 1];
    size_t before_count = 0, after_count = 0, changed = 0;

    for (size_t i = 0; i < count; i++)
        if (cells[i] != ORDER_BLANK)
            before[before_count++] = cells[i];
    for (size_t i = 0; i <= count; i++) {
        if (slotted[i] != ORDER_BLANK && slotted[i] != (long)ink)
            after[after_count++] = slotted[i];
        changed += i < count ? slotted[i] != cells[i] : slotted[i] != ORDER_BLANK;
    }
    assert_int_equal(before_count, after_count);
    assert_memory_equal(before, after, before_count * sizeof *before);
    assert_int_equal(slotted[slot->at], (long)ink);
    /* two inks without a colour may trade places unseen */
    assert_true(changed <= slot->moves + 1);
}

static void an_ink_slots_in_where_the_path_grows_least_and_the_others_keep_their_order(void **state)
{
    struct range_ink inks[CELLS + 1];
    size_t family[CELLS + 1];
    struct order_task task = {inks, family, CELLS + 1, FAMILIES};

    (void)state;
    srand(4);
    for (int i = 0; i < 500; i++) {
        long cells[CELLS], slotted[CELLS + 1];
        size_t count = 1 + (size_t)below(CELLS), ink;
        struct order_slot slot;

        scatter(inks, family, CELLS + 1, 50);
        ink = fill_cells(cells, count);
        slot = order_find_slot(&task, cells, count, ink);
        assert_true(fabs(slot.detour - least_growth(&task, cells, count, ink)) < 1e-9);
        order_apply_slot(&slot, cells, count, (long)ink, slotted);
        check_slotted(cells, slotted, count, ink, &slot);
        assert_true(fabs(cells_length(&task, slotted, count + 1) -
                         cells_length(&task, cells, count) - slot.detour) < 1e-9);
        assert_true(slot.blank == count || slotted[count] == ORDER_BLANK);
    }
}

static void a_blank_cell_in_the_right_place_is_taken_and_nothing_moves(void **state)
{
    struct range_ink inks[3] = {{.lab = {30, 0, 0}}, {.lab = {70, 0, 0}}, {.lab = {50, 0, 0}}};
    size_t family[3] = {0};
    struct order_task task = {inks, family, 3, 1};
    const long cells[4] = {0, ORDER_BLANK, 1, ORDER_BLANK};
    struct order_slot slot = order_find_slot(&task, cells, 4, 2);

    (void)state;
    assert_int_equal(slot.at, 1);
    assert_int_equal(slot.moves, 0);
    assert_int_equal(slot.before, 0);
    assert_int_equal(slot.after, 1);
}

static void the_cells_up_to_the_nearest_blank_one_move_and_no_others(void **state)
{
    struct range_ink inks[5] = {{.lab = {20, 0, 0}},
                                {.lab = {40, 0, 0}},
                                {.lab = {60, 0, 0}},
                                {.lab = {80, 0, 0}},
                                {.lab = {30, 0, 0}}};
    size_t family[5] = {0};
    struct order_task task = {inks, family, 5, 1};
    const long after[5] = {0, 1, 2, ORDER_BLANK, 3}, before[5] = {ORDER_BLANK, 0, 1, 2, 3};
    struct order_slot slot = order_find_slot(&task, after, 5, 4);
    long slotted[6];

    (void)state;
    order_apply_slot(&slot, after, 5, 4, slotted);
    assert_memory_equal(slotted, ((long[6]){0, 4, 1, 2, 3, ORDER_BLANK}), sizeof slotted);
    assert_int_equal(slot.moves, 2);
    slot = order_find_slot(&task, before, 5, 4);
    order_apply_slot(&slot, before, 5, 4, slotted);
    assert_memory_equal(slotted, ((long[6]){0, 4, 1, 2, 3, ORDER_BLANK}), sizeof slotted);
    assert_int_equal(slot.moves, 1);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(families_stand_together_in_their_order_and_each_ink_once),
        cmocka_unit_test(families_are_turned_so_that_the_steps_between_them_are_least),
        cmocka_unit_test(three_hundred_inks_are_put_in_order_near_the_bounds_in_seconds),
        cmocka_unit_test(equal_inks_and_a_single_one_are_put_in_an_order_of_no_length),
        cmocka_unit_test(
            an_ink_slots_in_where_the_path_grows_least_and_the_others_keep_their_order),
        cmocka_unit_test(a_blank_cell_in_the_right_place_is_taken_and_nothing_moves),
        cmocka_unit_test(the_cells_up_to_the_nearest_blank_one_move_and_no_others),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
