#include "output/range_rows.h"

#include "analysis/description.h"
#include "analysis/difference.h"
#include "analysis/settled.h"
#include "base/text.h"
#include "quantity.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#define WORDS_SIZE (2 * DIFFERENCE_WORDS_SIZE)

/* An ink that could stand in for another. */
struct near_row {
    const struct range_ink *asked, *ink;
    struct interval delta_e;
    double within;
};

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

/* What differs between an ink and the one it is compared with. */
static void put_words(struct table *table, const char *words)
{
    table_text(table, COLUMN("difference", .title = "compared, it is"), words);
}

/* --- near ----------------------------------------------------------------------------------- */

/* One row; the first tells how the column of what was asked is shown. */
static void put_match(struct table *table, const struct column *asked_column,
                      const struct near_row *row)
{
    char described[DESCRIPTION_SIZE], perhaps[NEAR_PERHAPS_SIZE], words[WORDS_SIZE];

    description_words(row->ink->lab, described);
    near_perhaps(&row->delta_e, row->within, perhaps);
    put_difference(row->asked, row->ink, &row->delta_e, words);
    table_row(table);
    table_text(table, *asked_column, row->asked->name);
    table_text(table, COLUMN("ink"), row->ink->name);
    table_text(table, COLUMN("described"), described);
    quantity_delta_e(table, &row->delta_e);
    table_text(table, COLUMN("verdict"), near_verdict(&row->delta_e, row->within));
    table_words(table, COLUMN("perhaps", .title = "or perhaps", .place = COLUMN_WITH_MORE),
                perhaps);
    put_words(table, words);
    table_text(table, COLUMN("undertone", .place = COLUMN_IN_DATA),
               description_undertone(row->ink->lab));
    quantity_lab(table, &row->ink->lab, 2, COLUMN_IN_DATA);
    table_text(table, COLUMN("rests_on", .place = COLUMN_IN_DATA), settled_words(row->ink->basis));
}

void range_rows_near_start(struct table *table, enum near_rows kind)
{
    const struct column asked = {.name = "asked",
                                 .title = kind == NEAR_OF_CELLS ? "cell" : NULL,
                                 .place = kind == NEAR_OF_ONE ? COLUMN_IN_DATA : COLUMN_EVERYWHERE};
    const struct range_ink nobody = {.basis = COLOUR_NONE};

    memset(table, 0, sizeof *table);
    put_match(table, &asked, &(const struct near_row){.asked = &nobody, .ink = &nobody});
    table_keep_columns(table);
}

enum status range_rows_near(const struct range_ink *asked, const struct range_ink *ink,
                            const struct interval *delta_e, double within, struct table *table,
                            struct error *error)
{
    put_match(table, &COLUMN("asked"), &(const struct near_row){asked, ink, *delta_e, within});
    return table_check(table, error);
}

/* --- cover ---------------------------------------------------------------------------------- */

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

/* One purchase; `list` names the inks it stands in for. */
static void put_purchase(struct table *table, const struct cover_task *task,
                         const struct cover *cover, size_t ink, const char *list)
{
    enum column_place price_place = task->price ? COLUMN_EVERYWHERE : COLUMN_IN_DATA;
    const struct cover_ink *bought = &cover->inks[ink];
    char described[DESCRIPTION_SIZE];

    description_words(task->inks[ink].lab, described);
    table_row(table);
    table_number(table, COLUMN("step", .title = "buy"), (double)bought->step);
    table_text(table, COLUMN("ink"), task->inks[ink].name);
    table_text(table, COLUMN("described"), described);
    table_number(table, COLUMN("price", .decimals = 2, .place = price_place), price_of(task, ink));
    table_number(table, COLUMN("so_far", .title = "in all", .decimals = 2, .place = price_place),
                 spent_with(task, cover, ink));
    table_number(table, COLUMN("served_then", .title = "served then"), (double)bought->served_then);
    table_number(table, COLUMN("worst_then", .title = "worst gap then", .decimals = 1),
                 bought->worst_then);
    table_number(table, COLUMN("serves"), (double)bought->serves);
    table_text(table, COLUMN("stands_in_for", .title = "stands in for"), list);
}

static enum status add_purchase(const struct cover_task *task, const struct cover *cover,
                                size_t ink, struct table *table, struct error *error)
{
    struct text list = {0};
    enum status status = list_served(task, cover, ink, &list, error);

    if (!status)
        put_purchase(table, task, cover, ink, list.bytes ? list.bytes : "");
    text_release(&list);
    return status ? status : table_check(table, error);
}

enum status range_rows_purchases(const struct cover_task *task, const struct cover *cover,
                                 struct table *table, struct error *error)
{
    enum status status = STATUS_OK;

    memset(table, 0, sizeof *table);
    put_purchase(table, task, cover, 0, "");
    table_keep_columns(table);
    for (size_t step = 1; !status && step <= cover->bought; step++)
        for (size_t i = 0; !status && i < cover->count; i++)
            if (cover->inks[i].step == step)
                status = add_purchase(task, cover, i, table, error);
    return status;
}

static const char *choice_word(const struct cover_task *task, const struct cover_ink *placed,
                               size_t ink)
{
    if (task->roles[ink] == COVER_OWNED)
        return "owned";
    return placed->chosen ? "buy" : "leave";
}

/* What an ink's purchase brings; missing where it is not bought. */
static void put_step(struct table *table, const struct cover_ink *placed, double price)
{
    const double unknown = placed->step ? 0 : NAN;

    table_number(table, COLUMN("step", .place = COLUMN_IN_DATA), (double)placed->step + unknown);
    table_number(table, COLUMN("price", .decimals = 2, .place = COLUMN_IN_DATA), price);
    table_number(table, COLUMN("served_then", .place = COLUMN_IN_DATA),
                 (double)placed->served_then + unknown);
    table_number(table, COLUMN("worst_then", .decimals = 2, .place = COLUMN_IN_DATA),
                 placed->worst_then + unknown);
}

static void put_stand_in(struct table *table, const struct cover_task *task,
                         const struct cover *cover, size_t ink)
{
    const struct cover_ink *placed = &cover->inks[ink];
    bool any = placed->stand_in != COVER_NOBODY;
    const struct range_ink *other = any ? &task->inks[placed->stand_in] : NULL;
    char described[DESCRIPTION_SIZE], perhaps[NEAR_PERHAPS_SIZE] = "", words[WORDS_SIZE] = "";

    description_words(task->inks[ink].lab, described);
    if (any && !placed->chosen) {
        near_perhaps(&placed->gap, cover->close, perhaps);
        put_difference(&task->inks[ink], other, &placed->gap, words);
    }
    table_row(table);
    table_text(table, COLUMN("ink"), task->inks[ink].name);
    table_text(table, COLUMN("described", .place = COLUMN_IN_DATA), described);
    table_text(table, COLUMN("choice", .place = COLUMN_IN_DATA), choice_word(task, placed, ink));
    table_text(table, COLUMN("served", .place = COLUMN_IN_DATA), placed->served ? "yes" : "no");
    put_step(table, placed, price_of(task, ink));
    table_text(table, COLUMN("stand_in", .title = "its stand-in"), any ? other->name : NULL);
    quantity_delta_e(table, any ? &placed->gap : NULL);
    table_text(table, COLUMN("verdict"), any ? near_verdict(&placed->gap, cover->close) : NULL);
    table_words(table, COLUMN("perhaps", .title = "or perhaps", .place = COLUMN_WITH_MORE),
                perhaps);
    put_words(table, words);
}

enum status range_rows_stand_ins(const struct cover_task *task, const struct cover *cover, bool all,
                                 struct table *table, struct error *error)
{
    memset(table, 0, sizeof *table);
    put_stand_in(table, task, cover, 0);
    table_keep_columns(table);
    for (size_t i = 0; i < cover->count; i++)
        if (all || (!cover->inks[i].chosen && cover->inks[i].served))
            put_stand_in(table, task, cover, i);
    return table_check(table, error);
}
