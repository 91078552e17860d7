#include "output/range_rows.h"

#include "analysis/description.h"
#include "analysis/difference.h"
#include "analysis/settled.h"
#include "base/text.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#define COUNT(array) (sizeof(array) / sizeof *(array))
#define WORDS_SIZE (2 * DIFFERENCE_WORDS_SIZE)

/* What differs, as far as the uncertainty lets it be said: "deeper: darker, brighter, redder,
 * warmer". */
static void put_difference(const struct range_ink *from, const struct range_ink *to,
                           const struct interval *delta_e, char words[WORDS_SIZE])
{
    double least = fmax(DIFFERENCE_NOTICEABLE, delta_e->high - delta_e->measured);
    struct difference difference = difference_between(from->lab, to->lab);
    const char *character = difference_character(&difference, least);
    const char *warmth = difference_warmth(&difference, least);
    char moves[DIFFERENCE_WORDS_SIZE];

    difference_words(&difference, least, moves);
    if (strcmp(character, "brighter") == 0) /* the moves have a "brighter" of their own */
        character = "";
    snprintf(words, WORDS_SIZE, "%s%s%s%s%s", character, character[0] ? ": " : "", moves,
             warmth[0] ? ", " : "", warmth);
}

/* --- near ----------------------------------------------------------------------------------- */

#define NEAR_COLUMNS(first, place)                                                                 \
    {                                                                                              \
        {first, NULL, COLUMN_TEXT, 0, place}, {"ink", NULL, COLUMN_TEXT, 0, COLUMN_EVERYWHERE},    \
            {"described", NULL, COLUMN_TEXT, 0, COLUMN_EVERYWHERE},                                \
            {"delta_e", "delta E", COLUMN_NUMBER, 2, COLUMN_EVERYWHERE},                           \
            {"low", "95 % from", COLUMN_NUMBER, 2, COLUMN_EVERYWHERE},                             \
            {"high", "to", COLUMN_NUMBER, 2, COLUMN_EVERYWHERE},                                   \
            {"verdict", NULL, COLUMN_TEXT, 0, COLUMN_EVERYWHERE},                                  \
            {"perhaps", "or perhaps", COLUMN_WORDS, 0, COLUMN_EVERYWHERE},                         \
            {"difference", "compared, it is", COLUMN_TEXT, 0, COLUMN_EVERYWHERE},                  \
            {"undertone", NULL, COLUMN_TEXT, 0, COLUMN_IN_DATA},                                   \
            {"L", NULL, COLUMN_NUMBER, 2, COLUMN_IN_DATA},                                         \
            {"a", NULL, COLUMN_NUMBER, 2, COLUMN_IN_DATA},                                         \
            {"b", NULL, COLUMN_NUMBER, 2, COLUMN_IN_DATA},                                         \
        {                                                                                          \
            "rests_on", NULL, COLUMN_TEXT, 0, COLUMN_IN_DATA                                       \
        }                                                                                          \
    }

static const struct column one_columns[] = NEAR_COLUMNS("asked", COLUMN_IN_DATA);
static const struct column pair_columns[] = NEAR_COLUMNS("asked", COLUMN_EVERYWHERE);
static const struct column cell_columns[] = NEAR_COLUMNS("cell", COLUMN_EVERYWHERE);

void range_rows_near_start(struct table *table, enum near_rows kind)
{
    static const struct column *const columns[] = {[NEAR_OF_ONE] = one_columns,
                                                   [NEAR_OF_PAIRS] = pair_columns,
                                                   [NEAR_OF_CELLS] = cell_columns};

    memset(table, 0, sizeof *table);
    table->columns = columns[kind];
    table->column_count = COUNT(one_columns);
}

enum status range_rows_near(const struct range_ink *asked, const struct range_ink *ink,
                            const struct interval *delta_e, double within, struct table *table,
                            struct error *error)
{
    char described[DESCRIPTION_SIZE], perhaps[NEAR_PERHAPS_SIZE], words[WORDS_SIZE];

    description_words(ink->lab, described);
    near_perhaps(delta_e, within, perhaps);
    put_difference(asked, ink, delta_e, words);
    return table_add(table,
                     (const struct field[COUNT(one_columns)]){
                         field_text(asked->name), field_text(ink->name), field_text(described),
                         field_number(delta_e->measured), field_number(delta_e->low),
                         field_number(delta_e->high),
                         field_text(near_likeness_word(near_likeness(delta_e->measured, within))),
                         field_text(perhaps), field_text(words),
                         field_text(description_undertone(ink->lab)), field_number(ink->lab.L),
                         field_number(ink->lab.a), field_number(ink->lab.b),
                         field_text(settled_words(ink->basis))},
                     error);
}

/* --- cover ---------------------------------------------------------------------------------- */

#define PURCHASE_COLUMNS(price_place)                                                              \
    {                                                                                              \
        {"step", "buy", COLUMN_NUMBER, 0, COLUMN_EVERYWHERE},                                      \
            {"ink", NULL, COLUMN_TEXT, 0, COLUMN_EVERYWHERE},                                      \
            {"described", NULL, COLUMN_TEXT, 0, COLUMN_EVERYWHERE},                                \
            {"price", NULL, COLUMN_NUMBER, 2, price_place},                                        \
            {"so_far", "in all", COLUMN_NUMBER, 2, price_place},                                   \
            {"served_then", "served then", COLUMN_NUMBER, 0, COLUMN_EVERYWHERE},                   \
            {"worst_then", "worst gap then", COLUMN_NUMBER, 1, COLUMN_EVERYWHERE},                 \
            {"serves", NULL, COLUMN_NUMBER, 0, COLUMN_EVERYWHERE},                                 \
        {                                                                                          \
            "stands_in_for", "stands in for", COLUMN_TEXT, 0, COLUMN_EVERYWHERE                    \
        }                                                                                          \
    }

static const struct column purchase_columns[] = PURCHASE_COLUMNS(COLUMN_IN_DATA);
static const struct column priced_columns[] = PURCHASE_COLUMNS(COLUMN_EVERYWHERE);

static double price_of(const struct cover_task *task, size_t ink)
{
    return task->price && task->roles[ink] != COVER_OWNED ? task->price[ink] : NAN;
}

static enum status list_served(const struct cover_task *task, const struct cover *cover, size_t ink,
                               struct text *list, struct error *error)
{
    enum status status = STATUS_OK;

    for (size_t i = 0; !status && i < cover->count; i++)
        if (i != ink && cover->inks[i].served && cover->inks[i].stand_in == ink)
            status = text_add(list, error, "%s%s", list->length ? ", " : "", task->inks[i].name);
    return status;
}

/* What has been spent once an ink is bought. */
static double spent_with(const struct cover_task *task, const struct cover *cover, size_t ink)
{
    double sum = 0;

    for (size_t i = 0; i < cover->count; i++)
        if (cover->inks[i].step && cover->inks[i].step <= cover->inks[ink].step)
            sum += price_of(task, i);
    return sum;
}

static enum status add_purchase(const struct cover_task *task, const struct cover *cover,
                                size_t ink, struct table *table, struct error *error)
{
    const struct cover_ink *bought = &cover->inks[ink];
    struct text list = {0};
    char described[DESCRIPTION_SIZE];
    enum status status = list_served(task, cover, ink, &list, error);

    description_words(task->inks[ink].lab, described);
    if (!status)
        status = table_add(
            table,
            (const struct field[COUNT(purchase_columns)]){
                field_number((double)bought->step), field_text(task->inks[ink].name),
                field_text(described), field_number(price_of(task, ink)),
                field_number(spent_with(task, cover, ink)),
                field_number((double)bought->served_then), field_number(bought->worst_then),
                field_number((double)bought->serves), field_text(list.bytes ? list.bytes : "")},
            error);
    text_release(&list);
    return status;
}

enum status range_rows_purchases(const struct cover_task *task, const struct cover *cover,
                                 struct table *table, struct error *error)
{
    enum status status = STATUS_OK;

    memset(table, 0, sizeof *table);
    table->columns = task->price ? priced_columns : purchase_columns;
    table->column_count = COUNT(purchase_columns);
    for (size_t step = 1; !status && step <= cover->bought; step++)
        for (size_t i = 0; !status && i < cover->count; i++)
            if (cover->inks[i].step == step)
                status = add_purchase(task, cover, i, table, error);
    return status;
}

static const struct column stand_in_columns[] = {
    {"ink", NULL, COLUMN_TEXT, 0, COLUMN_EVERYWHERE},
    {"described", NULL, COLUMN_TEXT, 0, COLUMN_IN_DATA},
    {"choice", NULL, COLUMN_TEXT, 0, COLUMN_IN_DATA},
    {"step", NULL, COLUMN_NUMBER, 0, COLUMN_IN_DATA},
    {"price", NULL, COLUMN_NUMBER, 2, COLUMN_IN_DATA},
    {"served_then", NULL, COLUMN_NUMBER, 0, COLUMN_IN_DATA},
    {"worst_then", NULL, COLUMN_NUMBER, 2, COLUMN_IN_DATA},
    {"stand_in", "its stand-in", COLUMN_TEXT, 0, COLUMN_EVERYWHERE},
    {"delta_e", "delta E", COLUMN_NUMBER, 2, COLUMN_EVERYWHERE},
    {"low", "95 % from", COLUMN_NUMBER, 2, COLUMN_EVERYWHERE},
    {"high", "to", COLUMN_NUMBER, 2, COLUMN_EVERYWHERE},
    {"verdict", NULL, COLUMN_TEXT, 0, COLUMN_EVERYWHERE},
    {"perhaps", "or perhaps", COLUMN_WORDS, 0, COLUMN_EVERYWHERE},
    {"difference", "compared, it is", COLUMN_TEXT, 0, COLUMN_EVERYWHERE},
};

static const char *choice_word(const struct cover_task *task, const struct cover_ink *placed,
                               size_t ink)
{
    if (task->roles[ink] == COVER_OWNED)
        return "owned";
    return placed->chosen ? "buy" : "leave";
}

static enum status add_stand_in(const struct cover_task *task, const struct cover *cover,
                                size_t ink, struct table *table, struct error *error)
{
    const struct cover_ink *placed = &cover->inks[ink];
    bool any = placed->stand_in != COVER_NOBODY;
    const struct range_ink *other = any ? &task->inks[placed->stand_in] : NULL;
    const double unknown = any ? 0 : NAN;
    char described[DESCRIPTION_SIZE], perhaps[NEAR_PERHAPS_SIZE] = "", words[WORDS_SIZE] = "";

    description_words(task->inks[ink].lab, described);
    if (any && !placed->chosen) {
        near_perhaps(&placed->gap, cover->close, perhaps);
        put_difference(&task->inks[ink], other, &placed->gap, words);
    }
    return table_add(
        table,
        (const struct field[COUNT(stand_in_columns)]){
            field_text(task->inks[ink].name), field_text(described),
            field_text(choice_word(task, placed, ink)),
            placed->step ? field_number((double)placed->step) : field_missing(),
            field_number(price_of(task, ink)),
            placed->step ? field_number((double)placed->served_then) : field_missing(),
            placed->step ? field_number(placed->worst_then) : field_missing(),
            field_text(any ? other->name : NULL), field_number(placed->gap.measured + unknown),
            field_number(placed->gap.low + unknown), field_number(placed->gap.high + unknown),
            field_text(any ? near_likeness_word(near_likeness(placed->gap.measured, cover->close))
                           : NULL),
            field_text(perhaps), field_text(words)},
        error);
}

enum status range_rows_stand_ins(const struct cover_task *task, const struct cover *cover, bool all,
                                 struct table *table, struct error *error)
{
    enum status status = STATUS_OK;

    memset(table, 0, sizeof *table);
    table->columns = stand_in_columns;
    table->column_count = COUNT(stand_in_columns);
    for (size_t i = 0; !status && i < cover->count; i++)
        if (all || !cover->inks[i].chosen)
            status = add_stand_in(task, cover, i, table, error);
    return status;
}
