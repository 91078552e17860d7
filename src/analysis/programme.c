#include "programme.h"

#include "base/memory.h"

#include <glpk.h>

#include <math.h>
#include <setjmp.h>
#include <stdlib.h>
#include <string.h>

#define ROUNDING 1e-6

/* --- the greedy choice: what stands if the time runs out ------------------------------------ */

static size_t count_unserved(const struct programme *programme, const bool *served, size_t column)
{
    size_t count = 0;

    for (size_t i = 0; i < programme->rows; i++)
        count += !served[i] && programme->serves[i * programme->columns + column];
    return count;
}

/* Whether a column is one more than the limits allow. */
static bool is_barred(const struct programme *programme, const bool *chosen, size_t column)
{
    size_t count = 0, in_group = 0;

    if (!programme->limit || column >= programme->limited)
        return false;
    for (size_t j = 0; j < programme->limited; j++) {
        count += chosen[j];
        in_group +=
            chosen[j] && programme->group && programme->group[j] == programme->group[column];
    }
    return count >= programme->limit || (programme->group && in_group >= programme->group_limit);
}

/* The column that serves most rows still unserved for its cost. */
static size_t best_column(const struct programme *programme, const bool *served, const bool *chosen)
{
    size_t best = programme->columns;
    double best_merit = -1;

    for (size_t j = 0; j < programme->columns; j++) {
        size_t count = count_unserved(programme, served, j);
        double merit = (double)count / fmax(programme->cost[j], ROUNDING);

        if (count && merit > best_merit && !is_barred(programme, chosen, j)) {
            best_merit = merit;
            best = j;
        }
    }
    return best;
}

static enum status choose_greedily(const struct programme *programme, bool *chosen, double *cost,
                                   struct error *error)
{
    bool *served = memory_array(programme->rows, sizeof *served, "a choice of inks", error);

    *cost = 0;
    if (!served)
        return error->status;
    memset(chosen, 0, programme->columns * sizeof *chosen);
    for (size_t best = best_column(programme, served, chosen); best < programme->columns;
         best = best_column(programme, served, chosen)) {
        chosen[best] = true;
        *cost += programme->cost[best];
        for (size_t i = 0; i < programme->rows; i++)
            served[i] = served[i] || programme->serves[i * programme->columns + best];
    }
    free(served);
    return STATUS_OK;
}

/* --- GLPK ----------------------------------------------------------------------------------- */

/* GLPK ends the process when it has no memory, unless its error hook leaves by a jump. */
struct solving {
    const struct programme *programme;
    jmp_buf no_memory;
    double bound;
    int *rows; /* of the matrix, from 1 */
    int *columns;
    double *ones;
    bool *chosen;
    bool found;
    bool proven;
};

static void leave(void *context)
{
    struct solving *solving = context;

    longjmp(solving->no_memory, 1);
}

/* Remember the best bound of the tree so far. */
static void watch(glp_tree *tree, void *context)
{
    struct solving *solving = context;
    int node = glp_ios_best_node(tree);

    if (node)
        solving->bound = fmax(solving->bound, glp_ios_node_bound(tree, node));
}

static void add_one(struct solving *solving, size_t row, size_t column, int *count)
{
    ++*count;
    solving->rows[*count] = (int)row + 1;
    solving->columns[*count] = (int)column + 1;
    solving->ones[*count] = 1;
}

/* The rows to serve, then one for the limit, then one for each group. */
static int list_matrix(struct solving *solving)
{
    const struct programme *programme = solving->programme;
    int count = 0;

    for (size_t i = 0; i < programme->rows; i++)
        for (size_t j = 0; j < programme->columns; j++)
            if (programme->serves[i * programme->columns + j])
                add_one(solving, i, j, &count);
    for (size_t j = 0; programme->limit && j < programme->limited; j++) {
        add_one(solving, programme->rows, j, &count);
        if (programme->group)
            add_one(solving, programme->rows + 1 + programme->group[j], j, &count);
    }
    return count;
}

static void bound_rows(glp_prob *problem, const struct programme *programme)
{
    int rows = (int)programme->rows, groups = programme->group ? (int)programme->groups : 0;

    for (int i = 1; i <= rows; i++)
        glp_set_row_bnds(problem, i, GLP_LO, 1, 0);
    if (!programme->limit)
        return;
    glp_add_rows(problem, 1 + groups);
    glp_set_row_bnds(problem, rows + 1, GLP_UP, 0, (double)programme->limit);
    for (int i = 1; i <= groups; i++)
        glp_set_row_bnds(problem, rows + 1 + i, GLP_UP, 0, (double)programme->group_limit);
}

static void build(glp_prob *problem, struct solving *solving)
{
    const struct programme *programme = solving->programme;
    int count = list_matrix(solving);

    glp_add_rows(problem, (int)programme->rows);
    glp_add_cols(problem, (int)programme->columns);
    bound_rows(problem, programme);
    for (int j = 1; j <= (int)programme->columns; j++) {
        glp_set_col_kind(problem, j, GLP_BV);
        glp_set_obj_coef(problem, j, programme->cost[j - 1]);
    }
    glp_load_matrix(problem, count, solving->rows, solving->columns, solving->ones);
}

static void run(struct solving *solving)
{
    const struct programme *programme = solving->programme;
    glp_prob *problem = glp_create_prob();
    glp_iocp control;
    int failure;

    build(problem, solving);
    glp_init_iocp(&control);
    control.msg_lev = GLP_MSG_OFF;
    control.presolve = GLP_ON;
    control.cb_func = watch;
    control.cb_info = solving;
    if (programme->seconds > 0)
        control.tm_lim = (int)fmax(1, programme->seconds * 1000);
    failure = glp_intopt(problem, &control);
    solving->proven = !failure && glp_mip_status(problem) == GLP_OPT;
    solving->found = solving->proven || glp_mip_status(problem) == GLP_FEAS;
    for (size_t j = 0; solving->found && j < programme->columns; j++)
        solving->chosen[j] = glp_mip_col_val(problem, (int)j + 1) > 0.5;
    glp_delete_prob(problem);
}

/* Returns false if GLPK had no memory. */
static bool run_guarded(struct solving *solving)
{
    if (glp_init_env() > 1) /* 0 and 1 are fine: made now, or there already */
        return false;
    glp_term_out(GLP_OFF);
    if (setjmp(solving->no_memory)) {
        glp_error_hook(NULL, NULL);
        glp_free_env();
        return false;
    }
    glp_error_hook(leave, solving);
    run(solving);
    glp_error_hook(NULL, NULL);
    glp_free_env();
    return true;
}

static enum status solving_create(struct solving *solving, struct error *error)
{
    const struct programme *programme = solving->programme;
    size_t cells = programme->rows * programme->columns, count = 1 + 2 * programme->limited;

    for (size_t i = 0; i < cells; i++)
        count += programme->serves[i];
    solving->rows = memory_array(count, sizeof *solving->rows, "a covering programme", error);
    solving->columns = memory_array(count, sizeof *solving->columns, "a covering programme", error);
    solving->ones = memory_array(count, sizeof *solving->ones, "a covering programme", error);
    solving->chosen =
        memory_array(programme->columns, sizeof *solving->chosen, "a covering programme", error);
    return solving->rows && solving->columns && solving->ones && solving->chosen ? STATUS_OK
                                                                                 : error->status;
}

static void solving_release(struct solving *solving)
{
    free(solving->rows);
    free(solving->columns);
    free(solving->ones);
    free(solving->chosen);
}

/* --- the answer ----------------------------------------------------------------------------- */

static double cost_of(const struct programme *programme, const bool *chosen)
{
    double cost = 0;

    for (size_t j = 0; j < programme->columns; j++)
        cost += chosen[j] ? programme->cost[j] : 0;
    return cost;
}

static bool costs_are_whole(const struct programme *programme)
{
    for (size_t j = 0; j < programme->columns; j++)
        if (programme->cost[j] != floor(programme->cost[j]))
            return false;
    return true;
}

static void take_better(const struct solving *solving, bool *chosen,
                        struct programme_answer *answer)
{
    const struct programme *programme = solving->programme;

    if (solving->found && cost_of(programme, solving->chosen) <= answer->cost) {
        memcpy(chosen, solving->chosen, programme->columns * sizeof *chosen);
        answer->cost = cost_of(programme, chosen);
    }
    answer->bound = solving->proven ? answer->cost : fmax(solving->bound, 0);
    if (costs_are_whole(programme))
        answer->bound = ceil(answer->bound - ROUNDING);
    answer->bound = fmin(answer->bound, answer->cost);
    answer->proven = answer->bound >= answer->cost - ROUNDING;
}

enum status programme_solve(const struct programme *programme, bool *chosen,
                            struct programme_answer *answer, struct error *error)
{
    struct solving solving = {.programme = programme};
    enum status status = choose_greedily(programme, chosen, &answer->cost, error);

    if (status || !programme->rows) {
        answer->bound = 0;
        answer->proven = !programme->rows;
        return status;
    }
    status = solving_create(&solving, error);
    if (!status && !run_guarded(&solving))
        status = error_set(error, STATUS_MEMORY,
                           "out of memory: no room to solve for %zu inks; close other programs",
                           programme->columns);
    if (!status)
        take_better(&solving, chosen, answer);
    solving_release(&solving);
    return status;
}
