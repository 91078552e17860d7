#include "output/combine_rows.h"

#include "analysis/description.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#define COUNT(array) (sizeof(array) / sizeof *(array))
#define INKS_SIZE (COMBINE_COLOURS_MOST * (RANGE_NAME_SIZE + 4))

static void table_start(struct table *table, const struct column *columns, size_t count)
{
    memset(table, 0, sizeof *table);
    table->columns = columns;
    table->column_count = count;
}

/* --- proposals ------------------------------------------------------------------------------ */

#define INK_COLUMN(name)                                                                           \
    {                                                                                              \
        name, NULL, COLUMN_TEXT, 0, COLUMN_IN_DATA                                                 \
    }
#define JOIN_COLUMNS(number)                                                                       \
    {"join_" number "_L", NULL, COLUMN_NUMBER, 2, COLUMN_IN_DATA},                                 \
        {"join_" number "_a", NULL, COLUMN_NUMBER, 2, COLUMN_IN_DATA},                             \
        {"join_" number "_b", NULL, COLUMN_NUMBER, 2, COLUMN_IN_DATA},                             \
        {"join_" number "_u95", NULL, COLUMN_NUMBER, 2, COLUMN_IN_DATA},                           \
    {                                                                                              \
        "join_" number "_clean", NULL, COLUMN_NUMBER, 2, COLUMN_IN_DATA                            \
    }
#define FIELDS_A_JOIN 5

static const struct column proposal_columns[] = {
    {"proposal", NULL, COLUMN_NUMBER, 0, COLUMN_EVERYWHERE},
    {"inks", "inks, as they are blended", COLUMN_TEXT, 0, COLUMN_IN_TEXT},
    INK_COLUMN("ink_1"),
    INK_COLUMN("ink_2"),
    INK_COLUMN("ink_3"),
    INK_COLUMN("ink_4"),
    {"score", NULL, COLUMN_NUMBER, 2, COLUMN_EVERYWHERE},
    {"hue_similarity", "hues alike", COLUMN_NUMBER, 2, COLUMN_EVERYWHERE},
    {"span", "L* span", COLUMN_NUMBER, 0, COLUMN_EVERYWHERE},
    {"clean", NULL, COLUMN_NUMBER, 2, COLUMN_EVERYWHERE},
    {"harmony", NULL, COLUMN_NUMBER, 2, COLUMN_IN_DATA},
    {"nearest_logged", "from the log", COLUMN_NUMBER, 1, COLUMN_EVERYWHERE},
    {"rests_on", NULL, COLUMN_TEXT, 0, COLUMN_IN_DATA},
    JOIN_COLUMNS("1"),
    JOIN_COLUMNS("2"),
    JOIN_COLUMNS("3"),
};

#define FIRST_JOIN (COUNT(proposal_columns) - (COMBINE_COLOURS_MOST - 1) * FIELDS_A_JOIN)

static void put_inks(const struct combine_task *task, const struct combine_proposal *proposal,
                     char text[INKS_SIZE])
{
    int length = 0;

    text[0] = '\0';
    for (size_t i = 0; i < proposal->count; i++)
        length += snprintf(text + length, (size_t)(INKS_SIZE - length), "%s%s", i ? " - " : "",
                           task->inks[proposal->inks[i]].name);
}

static double least_clean(const struct combine_proposal *proposal)
{
    double clean = 1;

    for (size_t i = 0; i + 1 < proposal->count; i++)
        clean = fmin(clean, proposal->joins[i].clean);
    return clean;
}

/* What the join that is known least rests on. */
static const char *rests_on(const struct combine_proposal *proposal)
{
    enum blend_basis least = BLEND_TESTED;

    for (size_t i = 0; i + 1 < proposal->count; i++)
        if (proposal->joins[i].basis < least)
            least = proposal->joins[i].basis;
    return blend_basis_words(least);
}

static void put_joins(const struct combine_proposal *proposal, struct field *fields)
{
    for (size_t i = 0; i + 1 < COMBINE_COLOURS_MOST; i++) {
        const struct combine_join *join = &proposal->joins[i];
        double known = i + 1 < proposal->count ? 0 : NAN;
        struct field *field = fields + i * FIELDS_A_JOIN;

        field[0] = field_number(join->forecast.lab.L + known);
        field[1] = field_number(join->forecast.lab.a + known);
        field[2] = field_number(join->forecast.lab.b + known);
        field[3] = field_number(join->forecast.u95 + known);
        field[4] = field_number(join->clean + known);
    }
}

static enum status add_proposal(const struct combine_task *task,
                                const struct combine_proposal *proposal, size_t number,
                                struct table *table, struct error *error)
{
    const char *names[COMBINE_COLOURS_MOST] = {NULL};
    struct field fields[COUNT(proposal_columns)];
    char inks[INKS_SIZE];

    put_inks(task, proposal, inks);
    for (size_t i = 0; i < proposal->count; i++)
        names[i] = task->inks[proposal->inks[i]].name;
    fields[0] = field_number((double)number);
    fields[1] = field_text(inks);
    for (size_t i = 0; i < COMBINE_COLOURS_MOST; i++)
        fields[2 + i] = field_text(names[i]);
    fields[6] = field_number(proposal->score);
    fields[7] = field_number(proposal->hue_similarity);
    fields[8] = field_number(proposal->span);
    fields[9] = field_number(least_clean(proposal));
    fields[10] = field_number(proposal->harmony);
    fields[11] = field_number(proposal->nearest_logged);
    fields[12] = field_text(rests_on(proposal));
    put_joins(proposal, fields + FIRST_JOIN);
    return table_add(table, fields, error);
}

enum status combine_rows_proposals(const struct combine_task *task,
                                   const struct combine_answer *answer, struct table *table,
                                   struct error *error)
{
    enum status status = STATUS_OK;

    table_start(table, proposal_columns, COUNT(proposal_columns));
    for (size_t i = 0; !status && i < answer->count; i++)
        status = add_proposal(task, &answer->proposals[i], i + 1, table, error);
    return status;
}

/* --- joins ---------------------------------------------------------------------------------- */

static const struct column join_columns[] = {
    {"proposal", NULL, COLUMN_NUMBER, 0, COLUMN_EVERYWHERE},
    {"first", NULL, COLUMN_TEXT, 0, COLUMN_EVERYWHERE},
    {"second", NULL, COLUMN_TEXT, 0, COLUMN_EVERYWHERE},
    {"blend", "half way", COLUMN_TEXT, 0, COLUMN_EVERYWHERE},
    {"L", "L*", COLUMN_NUMBER, 1, COLUMN_EVERYWHERE},
    {"a", "a*", COLUMN_NUMBER, 1, COLUMN_EVERYWHERE},
    {"b", "b*", COLUMN_NUMBER, 1, COLUMN_EVERYWHERE},
    {"u95", "\xC2\xB1u95", COLUMN_NUMBER, 1, COLUMN_EVERYWHERE},
    {"verdict", NULL, COLUMN_TEXT, 0, COLUMN_EVERYWHERE},
    {"rests_on", "rests on", COLUMN_TEXT, 0, COLUMN_EVERYWHERE},
};

/* Whether a blend keeps its colour, as far as it is settled how the inks mix. */
static const char *verdict_of(const double clean_by_law[BLEND_LAWS], double clean, bool settled)
{
    double low = fmin(clean_by_law[0], clean_by_law[1]);
    double high = fmax(clean_by_law[0], clean_by_law[1]);

    if (settled)
        return clean >= COMBINE_CLEAN ? "clean" : "muddy";
    if (low >= COMBINE_CLEAN)
        return "clean";
    return high >= COMBINE_CLEAN ? "clean or muddy: test it" : "muddy";
}

static enum status add_join(const struct combine_task *task,
                            const struct combine_proposal *proposal, size_t number, size_t i,
                            struct table *table, struct error *error)
{
    const struct combine_join *join = &proposal->joins[i];
    char words[DESCRIPTION_SIZE];

    description_words(join->forecast.lab, words);
    return table_add(
        table,
        (const struct field[COUNT(join_columns)]){
            field_number((double)number), field_text(task->inks[proposal->inks[i]].name),
            field_text(task->inks[proposal->inks[i + 1]].name), field_text(words),
            field_number(join->forecast.lab.L), field_number(join->forecast.lab.a),
            field_number(join->forecast.lab.b), field_number(join->forecast.u95),
            field_text(verdict_of(join->clean_by_law, join->clean, join->basis != BLEND_BY_LAWS)),
            field_text(blend_basis_words(join->basis))},
        error);
}

enum status combine_rows_joins(const struct combine_task *task, const struct combine_answer *answer,
                               struct table *table, struct error *error)
{
    enum status status = STATUS_OK;

    table_start(table, join_columns, COUNT(join_columns));
    for (size_t k = 0; k < answer->count; k++)
        for (size_t i = 0; !status && i + 1 < answer->proposals[k].count; i++)
            status = add_join(task, &answer->proposals[k], k + 1, i, table, error);
    return status;
}

/* --- blends of a pair ----------------------------------------------------------------------- */

static const struct column blend_columns[] = {
    {"first", NULL, COLUMN_TEXT, 0, COLUMN_EVERYWHERE},
    {"second", NULL, COLUMN_TEXT, 0, COLUMN_EVERYWHERE},
    {"second_share", "share of it", COLUMN_NUMBER, 2, COLUMN_EVERYWHERE},
    {"blend", NULL, COLUMN_TEXT, 0, COLUMN_EVERYWHERE},
    {"L", "L*", COLUMN_NUMBER, 2, COLUMN_EVERYWHERE},
    {"a", "a*", COLUMN_NUMBER, 2, COLUMN_EVERYWHERE},
    {"b", "b*", COLUMN_NUMBER, 2, COLUMN_EVERYWHERE},
    {"u95", "\xC2\xB1u95", COLUMN_NUMBER, 2, COLUMN_EVERYWHERE},
    {"kubelka_munk_L", NULL, COLUMN_NUMBER, 2, COLUMN_IN_DATA},
    {"kubelka_munk_a", NULL, COLUMN_NUMBER, 2, COLUMN_IN_DATA},
    {"kubelka_munk_b", NULL, COLUMN_NUMBER, 2, COLUMN_IN_DATA},
    {"geometric_L", NULL, COLUMN_NUMBER, 2, COLUMN_IN_DATA},
    {"geometric_a", NULL, COLUMN_NUMBER, 2, COLUMN_IN_DATA},
    {"geometric_b", NULL, COLUMN_NUMBER, 2, COLUMN_IN_DATA},
    {"verdict", NULL, COLUMN_TEXT, 0, COLUMN_EVERYWHERE},
    {"rests_on", "rests on", COLUMN_TEXT, 0, COLUMN_EVERYWHERE},
};

void combine_rows_blends_start(struct table *table)
{
    table_start(table, blend_columns, COUNT(blend_columns));
}

enum status combine_rows_blends_add(const struct combine_blend_row *row, struct table *table,
                                    struct error *error)
{
    const struct blend_forecast *forecast = row->forecast;
    const struct lab *covering = &forecast->by_law[BLEND_KUBELKA_MUNK];
    const struct lab *filtering = &forecast->by_law[BLEND_GEOMETRIC];
    double clean =
        combine_cleanness(row->first_lab, row->second_lab, row->second_share, forecast->lab);
    const double by_law[BLEND_LAWS] = {
        combine_cleanness(row->first_lab, row->second_lab, row->second_share, *covering),
        combine_cleanness(row->first_lab, row->second_lab, row->second_share, *filtering)};
    char words[DESCRIPTION_SIZE];

    description_words(forecast->lab, words);
    return table_add(
        table,
        (const struct field[COUNT(blend_columns)]){
            field_text(row->first), field_text(row->second), field_number(row->second_share),
            field_text(words), field_number(forecast->lab.L), field_number(forecast->lab.a),
            field_number(forecast->lab.b), field_number(forecast->u95), field_number(covering->L),
            field_number(covering->a), field_number(covering->b), field_number(filtering->L),
            field_number(filtering->a), field_number(filtering->b),
            field_text(verdict_of(by_law, clean, row->basis != BLEND_BY_LAWS)),
            field_text(blend_basis_words(row->basis))},
        error);
}
