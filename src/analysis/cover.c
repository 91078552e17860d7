#include "analysis/cover.h"

#include "analysis/near.h"
#include "programme.h"
#include "base/memory.h"
#include "covering.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

void cover_release(struct cover *cover)
{
    free(cover->inks);
    memset(cover, 0, sizeof *cover);
}

/* --- one choice ----------------------------------------------------------------------------- */

/* What is left to choose once owned inks and those that must be bought stand: rows and columns of
 * the programme with the inks they stand for. */
struct remainder {
    const struct covering *covering;
    double within;
    enum covering_reading reading;
    bool by_number; /* every ink costs 1 */
    size_t *row_ink;
    size_t *column_ink;
    double *cost;
    bool *serves;
    bool *picked;
    size_t rows, columns, unserved;
};

/* A choice and what is known of it. */
struct choice {
    bool *chosen; /* an ink each; the caller's */
    double cost, bound;
    bool proven;
    size_t unserved;
};

static bool is_fixed(const struct covering *covering, size_t ink)
{
    return covering->task->roles[ink] == COVER_OWNED || covering->task->roles[ink] == COVER_MUST;
}

static bool served_by_fixed(const struct remainder *rest, size_t ink)
{
    for (size_t j = 0; j < rest->covering->task->count; j++)
        if (is_fixed(rest->covering, j) &&
            covering_serves(rest->covering, ink, j, rest->within, rest->reading))
            return true;
    return false;
}

static double cost_of(const struct remainder *rest, size_t ink)
{
    if (!rest->by_number)
        return covering_cost(rest->covering, ink);
    return rest->covering->task->roles[ink] == COVER_OWNED ? 0 : 1;
}

static void list_columns(struct remainder *rest)
{
    for (size_t j = 0; j < rest->covering->task->count; j++)
        if (!is_fixed(rest->covering, j) && covering_is_for_sale(rest->covering, j)) {
            rest->cost[rest->columns] = cost_of(rest, j);
            rest->column_ink[rest->columns++] = j;
        }
}

static void list_rows(struct remainder *rest)
{
    for (size_t i = 0; i < rest->covering->task->count; i++) {
        bool *serves = rest->serves + rest->rows * rest->columns;
        bool any = false;

        if (served_by_fixed(rest, i))
            continue;
        for (size_t j = 0; j < rest->columns; j++) {
            serves[j] = covering_serves(rest->covering, i, rest->column_ink[j], rest->within,
                                        rest->reading);
            any = any || serves[j];
        }
        if (any)
            rest->row_ink[rest->rows++] = i;
        else
            rest->unserved++;
    }
}

static enum status remainder_create(struct remainder *rest, struct error *error)
{
    size_t count = rest->covering->task->count;

    rest->row_ink = memory_array(count, sizeof *rest->row_ink, "a choice of inks", error);
    rest->column_ink = memory_array(count, sizeof *rest->column_ink, "a choice of inks", error);
    rest->cost = memory_array(count, sizeof *rest->cost, "a choice of inks", error);
    rest->picked = memory_array(count, sizeof *rest->picked, "a choice of inks", error);
    rest->serves = memory_array(count * count, sizeof *rest->serves, "a choice of inks", error);
    if (!rest->row_ink || !rest->column_ink || !rest->cost || !rest->picked || !rest->serves)
        return error->status;
    list_columns(rest);
    list_rows(rest);
    return STATUS_OK;
}

static void remainder_release(struct remainder *rest)
{
    free(rest->row_ink);
    free(rest->column_ink);
    free(rest->cost);
    free(rest->picked);
    free(rest->serves);
}

static void choice_take(const struct remainder *rest, const struct programme_answer *answer,
                        struct choice *choice)
{
    double fixed = 0;

    for (size_t i = 0; i < rest->covering->task->count; i++) {
        choice->chosen[i] = is_fixed(rest->covering, i);
        fixed += choice->chosen[i] ? cost_of(rest, i) : 0;
    }
    for (size_t j = 0; j < rest->columns; j++)
        if (rest->picked[j])
            choice->chosen[rest->column_ink[j]] = true;
    choice->cost = answer->cost + fixed;
    choice->bound = answer->bound + fixed;
    choice->proven = answer->proven;
    choice->unserved = rest->unserved;
}

static enum status choose(struct remainder *rest, struct choice *choice, struct error *error)
{
    struct programme_answer answer = {0};
    enum status status = remainder_create(rest, error);
    struct programme programme = {.rows = rest->rows,
                                  .columns = rest->columns,
                                  .serves = rest->serves,
                                  .cost = rest->cost,
                                  .seconds = rest->covering->task->seconds};

    if (!status)
        status = programme_solve(&programme, rest->picked, &answer, error);
    if (!status)
        choice_take(rest, &answer, choice);
    remainder_release(rest);
    return status;
}

/* --- the fewest within a tolerance ---------------------------------------------------------- */

static enum status choose_by(const struct covering *covering, double within,
                             enum covering_reading reading, struct choice *choice,
                             struct error *error)
{
    struct remainder rest = {.covering = covering, .within = within, .reading = reading};

    return choose(&rest, choice, error);
}

/* What the cost would be if the pairs in doubt fell one way or the other. */
static enum status tell_doubt(const struct covering *covering, double within, struct cover *cover,
                              struct choice *other, struct error *error)
{
    enum status status = choose_by(covering, within, IF_CLOSE, other, error);

    cover->cost_if_close = fmin(other->cost, cover->cost);
    if (!status)
        status = choose_by(covering, within, IF_APART, other, error);
    cover->cost_if_apart = fmax(other->cost, cover->cost);
    cover->unserved_if_apart = other->unserved;
    return status;
}

enum status cover_fewest(const struct cover_task *task, double within, struct cover *cover,
                         struct error *error)
{
    struct covering covering;
    struct choice choice = {0};
    enum status status = covering_create(task, &covering, error);

    memset(cover, 0, sizeof *cover);
    if (!status) {
        choice.chosen = memory_array(task->count, sizeof *choice.chosen, "a choice", error);
        status = choice.chosen ? STATUS_OK : error->status;
    }
    if (!status)
        status = choose_by(&covering, within, AS_MEASURED, &choice, error);
    if (!status)
        status = covering_bring_nearer(&covering, within, choice.chosen, error);
    if (!status)
        status = covering_answer(&covering, choice.chosen, within, cover, error);
    cover->close = cover->within_bound = within;
    cover->cost_bound = fmin(choice.bound, cover->cost);
    cover->proven = choice.proven;
    if (!status)
        status = tell_doubt(&covering, within, cover, &choice, error);
    free(choice.chosen);
    covering_release(&covering);
    if (status)
        cover_release(cover);
    return status;
}

/* --- so many inks --------------------------------------------------------------------------- */

static size_t count_musts(const struct cover_task *task)
{
    size_t musts = 0;

    for (size_t i = 0; i < task->count; i++)
        musts += task->roles[i] == COVER_MUST;
    return musts;
}

static enum status check_number(const struct cover_task *task, size_t number, struct error *error)
{
    const struct covering covering = {.task = task};
    size_t must = count_musts(task), allowed = 0;

    for (size_t i = 0; i < task->count; i++)
        allowed += task->roles[i] == COVER_OWNED || covering_is_for_sale(&covering, i);
    if (must > number)
        return error_set(error, STATUS_USAGE,
                         "%zu inks must be bought, but only %zu may; raise the count or leave some "
                         "out",
                         must, number);
    if (!allowed)
        return error_set(error, STATUS_USAGE,
                         "no ink is owned and none may be bought; allow one at least");
    return STATUS_OK;
}

/* --- the most of the range ------------------------------------------------------------------ */

/* The programme with a column more for each row, which leaves that ink unserved and costs 1; the
 * inks cost nothing, but only so many may be chosen. Owns: the caller frees its arrays. */
static enum status allow_unserved(const struct remainder *rest, struct programme *programme,
                                  struct error *error)
{
    size_t columns = rest->columns + rest->rows;
    bool *serves = memory_array(rest->rows * columns + 1, sizeof *serves, "a choice", error);
    double *cost = memory_array(columns + 1, sizeof *cost, "a choice", error);

    programme->rows = rest->rows;
    programme->columns = columns;
    programme->limited = rest->columns;
    programme->serves = serves;
    programme->cost = cost;
    if (!serves || !cost)
        return error->status;
    for (size_t i = 0; i < rest->rows; i++) {
        memcpy(serves + i * columns, rest->serves + i * rest->columns, rest->columns);
        serves[i * columns + rest->columns + i] = true;
        cost[rest->columns + i] = 1;
    }
    return STATUS_OK;
}

/* Keep the choice spread over the families; `group` takes one for each column. */
static void spread(const struct remainder *rest, size_t number, size_t *group,
                   struct programme *programme)
{
    const struct cover_task *task = rest->covering->task;

    for (size_t j = 0; task->family && j < rest->columns; j++)
        group[j] = task->family[rest->column_ink[j]];
    programme->group = task->family ? group : NULL;
    programme->groups = task->families;
    programme->group_limit = task->families ? (number + task->families - 1) / task->families : 0;
}

/* Fill `choice`, whose cost is how many inks are left unserved. */
static enum status choose_most(struct remainder *rest, size_t number, struct choice *choice,
                               struct error *error)
{
    struct programme programme = {.limit = number - count_musts(rest->covering->task),
                                  .seconds = rest->covering->task->seconds};
    struct programme_answer answer = {0};
    enum status status = remainder_create(rest, error);
    bool *picked = NULL;
    size_t *group = NULL;

    if (!status)
        status = allow_unserved(rest, &programme, error);
    if (!status) {
        picked = memory_array(programme.columns + 1, sizeof *picked, "a choice", error);
        group = memory_array(programme.columns + 1, sizeof *group, "a choice", error);
        status = picked && group ? STATUS_OK : error->status;
    }
    if (!status)
        spread(rest, number, group, &programme);
    if (!status && programme.limit)
        status = programme_solve(&programme, picked, &answer, error);
    if (!status) {
        memcpy(rest->picked, picked, rest->columns * sizeof *picked);
        choice_take(rest, &answer, choice);
        choice->bound = answer.bound + (double)rest->unserved;
        choice->proven = answer.proven || !programme.limit;
    }
    free(picked);
    free(group);
    free((void *)programme.serves);
    free((void *)programme.cost);
    remainder_release(rest);
    return status;
}

enum status cover_most(const struct cover_task *task, size_t number, double within,
                       struct cover *cover, struct error *error)
{
    struct covering covering = {0};
    struct remainder rest = {.covering = &covering, .within = within};
    struct choice choice = {0};
    enum status status = check_number(task, number, error);

    memset(cover, 0, sizeof *cover);
    if (!status)
        status = covering_create(task, &covering, error);
    if (!status) {
        choice.chosen = memory_array(task->count, sizeof *choice.chosen, "a choice", error);
        status = choice.chosen ? STATUS_OK : error->status;
    }
    if (!status)
        status = choose_most(&rest, number, &choice, error);
    if (!status)
        status = covering_bring_nearer(&covering, within, choice.chosen, error);
    if (!status)
        status = covering_answer(&covering, choice.chosen, within, cover, error);
    cover->close = cover->within_bound = within;
    cover->cost_bound = cover->cost_if_close = cover->cost_if_apart = cover->cost;
    cover->proven = choice.proven;
    cover->unserved_bound = cover->proven ? cover->unserved : (size_t)choice.bound;
    free(choice.chosen);
    covering_release(&covering);
    if (status)
        cover_release(cover);
    return status;
}

/* --- the smallest worst gap ----------------------------------------------------------------- */

/* The gaps that a choice can have at worst, and how the search among them stands. */
struct search {
    const struct covering *covering;
    double number;
    double *gaps; /* ascending, each once */
    size_t count;
    size_t first_possible; /* no smaller gap is possible, proven */
    size_t least;          /* the smallest gap not ruled out, for all the time allowed */
    size_t best;           /* the smallest gap reached */
    bool *chosen;          /* the choice that reaches it */
};

static int compare_doubles(const void *a, const void *b)
{
    const double *first = a, *second = b;

    return (*first > *second) - (*first < *second);
}

static enum status list_gaps(struct search *search, struct error *error)
{
    size_t inks = search->covering->task->count, count = 1;

    search->gaps = memory_array(inks * inks + 1, sizeof *search->gaps, "the gaps", error);
    if (!search->gaps)
        return error->status;
    for (size_t i = 0; i < inks; i++)
        for (size_t j = i + 1; j < inks; j++)
            search->gaps[count++] = covering_distance(search->covering, i, j);
    qsort(search->gaps, count, sizeof *search->gaps, compare_doubles);
    for (size_t i = 0; i < count; i++)
        if (!search->count || search->gaps[i] > search->gaps[search->count - 1])
            search->gaps[search->count++] = search->gaps[i];
    search->best = search->count;
    return STATUS_OK;
}

/* Look whether the number of inks allowed keeps every gap down to this one. */
static enum status try_gap(struct search *search, size_t at, struct choice *choice,
                           struct error *error)
{
    struct remainder rest = {
        .covering = search->covering, .within = search->gaps[at], .by_number = true};
    enum status status = choose(&rest, choice, error);

    if (status)
        return status;
    if (!choice->unserved && choice->cost <= search->number) {
        search->best = at;
        memcpy(search->chosen, choice->chosen,
               search->covering->task->count * sizeof *choice->chosen);
        return STATUS_OK;
    }
    search->least = at + 1;
    if (choice->unserved || choice->bound > search->number)
        search->first_possible = at + 1;
    return STATUS_OK;
}

static enum status run_search(struct search *search, struct error *error)
{
    struct choice choice = {0};
    enum status status = list_gaps(search, error);

    if (!status) {
        size_t inks = search->covering->task->count;

        choice.chosen = memory_array(inks, sizeof *choice.chosen, "a choice", error);
        search->chosen = memory_array(inks, sizeof *search->chosen, "a choice", error);
        status = choice.chosen && search->chosen ? STATUS_OK : error->status;
    }
    while (!status && search->least < search->best && search->least < search->count)
        status = try_gap(search,
                         search->best == search->count ? (search->least + search->count - 1) / 2
                                                       : (search->least + search->best) / 2,
                         &choice, error);
    free(choice.chosen);
    return status;
}

static void tell_search(const struct search *search, struct cover *cover)
{
    double bound =
        search->gaps[search->first_possible < search->best ? search->first_possible : search->best];

    cover->close = NEAR_CLOSE;
    cover->within_bound = bound;
    cover->cost_bound = cover->cost_if_close = cover->cost_if_apart = cover->cost;
    cover->proven = bound >= cover->within;
}

enum status cover_count(const struct cover_task *task, size_t number, struct cover *cover,
                        struct error *error)
{
    struct covering covering = {0};
    struct search search = {.covering = &covering, .number = (double)number};
    enum status status = check_number(task, number, error);

    memset(cover, 0, sizeof *cover);
    if (!status)
        status = covering_create(task, &covering, error);
    if (!status)
        status = run_search(&search, error);
    if (!status)
        status = covering_bring_nearer(&covering, search.gaps[search.best], search.chosen, error);
    if (!status)
        status = covering_answer(&covering, search.chosen, search.gaps[search.best], cover, error);
    if (!status)
        tell_search(&search, cover);
    free(search.gaps);
    free(search.chosen);
    covering_release(&covering);
    if (status)
        cover_release(cover);
    return status;
}
