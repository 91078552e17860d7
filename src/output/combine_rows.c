#include "output/combine_rows.h"

#include "analysis/description.h"
#include "base/utf8.h"
#include "quantity.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#define INKS_SIZE (COMBINATION_MOST * (RANGE_NAME_SIZE + 4))

/* The inks of a run: in one line for people, each by itself for programs. */
static void put_inks(struct table *table, const char *const *names, size_t count, size_t most)
{
    static const char *const columns[COMBINATION_MOST] = {"ink_1", "ink_2", "ink_3", "ink_4",
                                                          "ink_5"};
    char text[INKS_SIZE] = "";
    int length = 0;

    for (size_t i = 0; i < count; i++)
        length +=
            snprintf(text + length, (size_t)(INKS_SIZE - length), "%s%s", i ? " - " : "", names[i]);
    table_text(table, COLUMN("inks", .title = "inks, as they are blended", .place = COLUMN_IN_TEXT),
               text);
    for (size_t i = 0; i < most; i++)
        table_text(table, COLUMN(columns[i], .place = COLUMN_IN_DATA), i < count ? names[i] : NULL);
}

/* --- proposals ------------------------------------------------------------------------------ */

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

/* How two neighbours blend half way; NULL: the run has fewer. */
static void put_forecast(struct table *table, const char *const names[5],
                         const struct combine_join *join)
{
    const struct blend_forecast *forecast = join ? &join->forecast : NULL;
    const double values[5] = {forecast ? forecast->lab.L : NAN, forecast ? forecast->lab.a : NAN,
                              forecast ? forecast->lab.b : NAN, forecast ? forecast->u95 : NAN,
                              join ? join->clean : NAN};

    for (int i = 0; i < 5; i++)
        table_number(table, COLUMN(names[i], .decimals = 2, .place = COLUMN_IN_DATA), values[i]);
}

static void put_joins(struct table *table, const struct combine_proposal *proposal)
{
    static const char *const names[COMBINE_COLOURS_MOST - 1][5] = {
        {"join_1_L", "join_1_a", "join_1_b", "join_1_u95", "join_1_clean"},
        {"join_2_L", "join_2_a", "join_2_b", "join_2_u95", "join_2_clean"},
        {"join_3_L", "join_3_a", "join_3_b", "join_3_u95", "join_3_clean"}};

    for (size_t i = 0; i + 1 < COMBINE_COLOURS_MOST; i++)
        put_forecast(table, names[i], i + 1 < proposal->count ? &proposal->joins[i] : NULL);
}

/* "edge - half - quarter" */
static void put_shares(struct table *table, const struct combine_proposal *proposal)
{
    static const char *const words[] = {
        [COMBINE_EDGE] = "edge", [COMBINE_QUARTER] = "quarter", [COMBINE_HALF] = "half"};
    char text[64] = "";
    int length = 0;

    for (size_t i = 0; i < proposal->count; i++)
        length += snprintf(text + length, sizeof text - (size_t)length, "%s%s", i ? " - " : "",
                           words[proposal->shares[i]]);
    table_text(table, COLUMN("shares"), text);
}

static void put_proposal(struct table *table, const struct combine_task *task,
                         const struct combine_proposal *proposal, size_t number)
{
    const char *names[COMBINE_COLOURS_MOST] = {NULL};

    for (size_t i = 0; i < proposal->count; i++)
        names[i] = task->inks[proposal->inks[i]].name;
    table_row(table);
    table_number(table, COLUMN("proposal"), (double)number);
    put_inks(table, names, proposal->count, COMBINE_COLOURS_MOST);
    put_shares(table, proposal);
    table_number(table, COLUMN("score", .decimals = 2, .place = COLUMN_WITH_MORE), proposal->score);
    table_number(
        table,
        COLUMN("hue_similarity", .title = "hues alike", .decimals = 2, .place = COLUMN_WITH_MORE),
        proposal->hue_similarity);
    table_number(table, COLUMN("span", .title = "L* span", .place = COLUMN_WITH_MORE),
                 proposal->span);
    table_number(table, COLUMN("clean", .decimals = 2, .place = COLUMN_WITH_MORE),
                 least_clean(proposal));
    table_number(table, COLUMN("harmony", .decimals = 2, .place = COLUMN_IN_DATA),
                 proposal->harmony);
    table_number(table, COLUMN("nearest_logged", .title = "from the log", .decimals = 1),
                 proposal->nearest_logged);
    table_text(table, COLUMN("rests_on", .place = COLUMN_IN_DATA), rests_on(proposal));
    put_joins(table, proposal);
}

enum status combine_rows_proposals(const struct combine_task *task,
                                   const struct combine_answer *answer, struct table *table,
                                   struct error *error)
{
    memset(table, 0, sizeof *table);
    put_proposal(table, task, &(const struct combine_proposal){0}, 0);
    table_keep_columns(table);
    for (size_t i = 0; i < answer->count; i++)
        put_proposal(table, task, &answer->proposals[i], i + 1);
    return table_check(table, error);
}

/* --- joins ---------------------------------------------------------------------------------- */

/* A forecast of so large a doubt says nothing of how clean a blend is: a colour of middling chroma
 * may lie in it as well as a grey. No source. */
#define DOUBT_TOO_LARGE 10.0

/* Whether a blend keeps its colour, as far as it is settled how the inks mix. */
static const char *verdict_of(const double clean_by_law[BLEND_LAWS], double clean, bool settled,
                              double u95)
{
    double low = fmin(clean_by_law[0], clean_by_law[1]);
    double high = fmax(clean_by_law[0], clean_by_law[1]);

    if (u95 > DOUBT_TOO_LARGE)
        return "not known: test it";
    if (settled)
        return clean >= COMBINE_CLEAN ? "clean" : "muddy";
    if (low >= COMBINE_CLEAN)
        return "clean";
    return high >= COMBINE_CLEAN ? "clean or muddy: test it" : "muddy";
}

/* Two neighbours of a proposal. */
static void put_join(struct table *table, size_t number, const char *first, const char *second,
                     const struct combine_join *join)
{
    char words[DESCRIPTION_SIZE];

    description_words(join->forecast.lab, words);
    table_row(table);
    table_number(table, COLUMN("proposal"), (double)number);
    table_text(table, COLUMN("first"), first);
    table_text(table, COLUMN("second"), second);
    table_text(table, COLUMN("blend", .title = "half way"), words);
    quantity_lab(table, &join->forecast.lab, 1, COLUMN_EVERYWHERE);
    quantity_u95(table, join->forecast.u95, 1);
    table_text(table, COLUMN("verdict"),
               verdict_of(join->clean_by_law, join->clean, join->basis != BLEND_BY_LAWS,
                          join->forecast.u95));
    table_text(table, COLUMN("rests_on", .title = "rests on"), blend_basis_words(join->basis));
}

enum status combine_rows_joins(const struct combine_task *task, const struct combine_answer *answer,
                               struct table *table, struct error *error)
{
    memset(table, 0, sizeof *table);
    put_join(table, 0, NULL, NULL, &(const struct combine_join){0});
    table_keep_columns(table);
    for (size_t k = 0; k < answer->count; k++) {
        const struct combine_proposal *proposal = &answer->proposals[k];

        for (size_t i = 0; i + 1 < proposal->count; i++)
            put_join(table, k + 1, task->inks[proposal->inks[i]].name,
                     task->inks[proposal->inks[i + 1]].name, &proposal->joins[i]);
    }
    return table_check(table, error);
}

/* --- blends of a pair ----------------------------------------------------------------------- */

/* A colour as one law has it. */
static void put_law(struct table *table, const char *const names[3], const struct lab *lab)
{
    const double values[3] = {lab->L, lab->a, lab->b};

    for (int i = 0; i < 3; i++)
        table_number(table, COLUMN(names[i], .decimals = 2, .place = COLUMN_IN_DATA), values[i]);
}

static const char *blend_verdict(const struct combine_blend_row *row)
{
    double clean[BLEND_LAWS];

    for (int law = 0; law < BLEND_LAWS; law++)
        clean[law] = combine_cleanness(row->first_lab, row->second_lab, row->second_share,
                                       row->forecast->by_law[law]);
    return verdict_of(
        clean,
        combine_cleanness(row->first_lab, row->second_lab, row->second_share, row->forecast->lab),
        row->basis != BLEND_BY_LAWS, row->forecast->u95);
}

static void put_blend(struct table *table, const struct combine_blend_row *row)
{
    static const char *const covering[3] = {"kubelka_munk_L", "kubelka_munk_a", "kubelka_munk_b"};
    static const char *const filtering[3] = {"geometric_L", "geometric_a", "geometric_b"};
    const struct blend_forecast *forecast = row->forecast;
    char words[DESCRIPTION_SIZE];

    description_words(forecast->lab, words);
    table_row(table);
    table_text(table, COLUMN("first"), row->first);
    table_text(table, COLUMN("second"), row->second);
    table_number(table, COLUMN("second_share", .title = "share of it", .decimals = 2),
                 row->second_share);
    table_text(table, COLUMN("blend"), words);
    quantity_lab(table, &forecast->lab, 2, COLUMN_EVERYWHERE);
    quantity_u95(table, forecast->u95, 2);
    put_law(table, covering, &forecast->by_law[BLEND_KUBELKA_MUNK]);
    put_law(table, filtering, &forecast->by_law[BLEND_GEOMETRIC]);
    table_text(table, COLUMN("verdict"), blend_verdict(row));
    table_text(table, COLUMN("rests_on", .title = "rests on"), blend_basis_words(row->basis));
}

void combine_rows_blends_start(struct table *table)
{
    memset(table, 0, sizeof *table);
}

enum status combine_rows_blends_add(const struct combine_blend_row *row, struct table *table,
                                    struct error *error)
{
    put_blend(table, row);
    return table_check(table, error);
}

/* --- the log -------------------------------------------------------------------------------- */

static void put_made(struct table *table, const struct inventory_combination *made)
{
    table_row(table);
    table_number(table, COLUMN("number"), (double)made->id);
    quantity_time(table, COLUMN("made"), &made->made);
    table_text(table, COLUMN("mood"), made->mood);
    put_inks(table, (const char *const *)made->inks, made->count, COMBINATION_MOST);
    table_text(table, COLUMN("note"), made->note);
}

enum status combine_rows_made(const struct inventory_combinations *made, struct table *table,
                              struct error *error)
{
    put_made(table, &(const struct inventory_combination){0});
    table_keep_columns(table);
    for (size_t i = 0; i < made->count; i++)
        put_made(table, &made->items[i]);
    return table_check(table, error);
}

static bool is_in_any(const struct inventory_combinations *made, const char *ink)
{
    for (size_t i = 0; i < made->count; i++)
        for (size_t k = 0; k < made->items[i].count; k++)
            if (utf8_same(made->items[i].inks[k], ink))
                return true;
    return false;
}

static void put_without(struct table *table, const struct range_ink *ink)
{
    char described[DESCRIPTION_SIZE];

    description_words(ink->lab, described);
    table_row(table);
    table_text(table, COLUMN("ink"), ink->name);
    table_text(table, COLUMN("described"), described);
    quantity_lab(table, &ink->lab, 2, COLUMN_EVERYWHERE);
}

enum status combine_rows_without(const struct measured_range *measured,
                                 const struct inventory_combinations *made, struct table *table,
                                 struct error *error)
{
    put_without(table, &(const struct range_ink){.name = ""});
    table_keep_columns(table);
    for (size_t i = 0; i < measured->count; i++)
        if (!is_in_any(made, measured->inks[i].name))
            put_without(table, &measured->inks[i]);
    return table_check(table, error);
}

/* --- test blends ---------------------------------------------------------------------------- */

enum status combine_rows_strip_add(const struct inventory_blend_cell *cell,
                                   const struct combine_offs *offs, struct table *table,
                                   struct error *error)
{
    table_row(table);
    table_number(table, COLUMN("second_share", .title = "share of the second", .decimals = 2),
                 cell->second_share);
    quantity_lab(table, &cell->lab, 2, COLUMN_EVERYWHERE);
    quantity_u95(table, cell->u95, 2);
    table_number(table, COLUMN("off_kubelka_munk", .title = "off Kubelka-Munk", .decimals = 2),
                 offs->by_law[BLEND_KUBELKA_MUNK]);
    table_number(table, COLUMN("off_geometric", .title = "off geometric mean", .decimals = 2),
                 offs->by_law[BLEND_GEOMETRIC]);
    table_number(table, COLUMN("off_learnt", .title = "off as learnt", .decimals = 2),
                 offs->learnt);
    return table_check(table, error);
}
