#include "output/rows.h"

#include "analysis/description.h"
#include "analysis/settled.h"
#include "base/text.h"
#include "measurement/words.h"
#include "quantity.h"

#include <math.h>

/* The figures of a reading, which an unreadable cell has not. */
static void put_figures(struct table *table, const struct reading *reading, int decimals)
{
    bool known = reading->found != CELL_UNREADABLE;

    quantity_lab(table, known ? &reading->lab : NULL, decimals, COLUMN_EVERYWHERE);
    quantity_u95(table, known && reading->u95 > 0 ? reading->u95 : NAN, decimals);
    table_number(table, COLUMN("unevenness", .decimals = decimals),
                 known ? reading->unevenness : NAN);
    quantity_flags(table, reading->flags);
}

/* --- measure -------------------------------------------------------------------------------- */

static void put_cell(struct table *table, const char *photo, const struct reading *reading,
                     const struct names *names)
{
    char label[NAMES_LABEL_SIZE];

    table_row(table);
    table_text(table, COLUMN("photo", .place = COLUMN_IN_DATA), photo);
    table_number(table, COLUMN("row", .place = COLUMN_IN_DATA), reading->row);
    table_number(table, COLUMN("column", .place = COLUMN_IN_DATA), reading->column);
    quantity_cell(table, reading->row, reading->column, COLUMN_IN_TEXT);
    table_text(table, COLUMN("ink"), names_of_cell(names, reading->row, reading->column, label));
    table_text(table, COLUMN("found"), words_of_found(reading->found));
    put_figures(table, reading, 2);
}

enum status rows_of_measurement(const char *photo, const struct measured_chart *chart,
                                const struct names *names, struct table *table, struct error *error)
{
    const struct chart_pose *pose = &chart->pose;
    struct text called = {0};
    enum status status = text_add(&called, error, "%s", photo);

    if (!status && pose->charts > 1)
        status = text_add(&called, error, " chart %d", pose->number);
    put_cell(table, photo, &(const struct reading){0}, NULL);
    table_keep_columns(table);
    for (int i = 0; !status && i < pose->rows * pose->columns; i++)
        put_cell(table, called.bytes, &chart->readings[i], names);
    text_release(&called);
    return status ? status : table_check(table, error);
}

/* --- inks and show -------------------------------------------------------------------------- */

static bool has_colour(const struct range_ink *ink)
{
    return ink->basis != COLOUR_WET_ONLY && ink->basis != COLOUR_NONE;
}

static void put_ink(struct table *table, const struct range_ink *ink,
                    const struct range_facts *facts)
{
    bool known = has_colour(ink);
    char described[DESCRIPTION_SIZE];

    description_words(ink->lab, described);
    table_row(table);
    table_text(table, COLUMN("ink"), ink->name);
    table_text(table, COLUMN("described"), known ? described : NULL);
    quantity_lab(table, known ? &ink->lab : NULL, 2, COLUMN_EVERYWHERE);
    quantity_u95(table, known ? ink->u95 : NAN, 2);
    table_text(table, COLUMN("rests_on", .title = "rests on"), settled_words(ink->basis));
    table_number(table, COLUMN("counted", .title = "readings"), ink->counted);
    table_number(table, COLUMN("readings", .title = "of"), facts->readings);
    table_number(table, COLUMN("swatches", .place = COLUMN_IN_DATA), facts->swatches);
    table_text(table, COLUMN("batch"), known && ink->batch[0] ? ink->batch : NULL);
    table_text(table, COLUMN("paper"), known && ink->paper[0] ? ink->paper : NULL);
    quantity_time(table, COLUMN("taken", .title = "last taken"), &facts->taken);
    quantity_flags(table, facts->flags);
}

enum status rows_of_inks(const struct range *range, struct table *table, struct error *error)
{
    put_ink(table, &(const struct range_ink){.basis = COLOUR_NONE},
            &(const struct range_facts){.readings = 0});
    table_keep_columns(table);
    for (size_t i = 0; i < range->count; i++)
        put_ink(table, &range->inks[i], &range->facts[i]);
    return table_check(table, error);
}

static void put_reading(struct table *table, const struct inventory_reading *kept, bool counted)
{
    const struct reading *reading = &kept->reading;

    table_row(table);
    quantity_time(table, COLUMN("taken"), &kept->taken);
    table_text(table, COLUMN("chart"), kept->chart);
    quantity_cell(table, reading->row, reading->column, COLUMN_EVERYWHERE);
    table_text(table, COLUMN("batch"), kept->batch);
    table_text(table, COLUMN("paper"), kept->paper);
    table_text(table, COLUMN("found"), words_of_found(reading->found));
    table_text(table, COLUMN("counted"), counted ? "yes" : "no");
    put_figures(table, reading, 2);
    table_text(table, COLUMN("photo"), kept->photo);
}

enum status rows_of_ink_readings(const struct inventory_readings *readings,
                                 const struct range *range, struct table *table,
                                 struct error *error)
{
    put_reading(table, &(const struct inventory_reading){0}, false);
    table_keep_columns(table);
    for (size_t i = 0; i < readings->count; i++)
        put_reading(table, &readings->items[i], range_counts(range, readings->items[i].id));
    return table_check(table, error);
}

/* --- export --------------------------------------------------------------------------------- */

/* The upper triangle of a covariance, row by row. */
static void put_covariance(struct table *table, const char *const names[6],
                           const struct reading *reading, const double covariance[9])
{
    static const int upper[6] = {0, 1, 2, 4, 5, 8};

    for (int i = 0; i < 6; i++)
        table_number(table, COLUMN(names[i], .decimals = 6, .place = COLUMN_IN_DATA),
                     reading->found == CELL_UNREADABLE ? NAN : covariance[upper[i]]);
}

static void put_export(struct table *table, const struct inventory_reading *kept)
{
    static const char *const shared[6] = {"shared_LL", "shared_La", "shared_Lb",
                                          "shared_aa", "shared_ab", "shared_bb"};
    static const char *const own[6] = {"own_LL", "own_La", "own_Lb", "own_aa", "own_ab", "own_bb"};
    const struct reading *reading = &kept->reading;

    table_row(table);
    table_text(table, COLUMN("ink"), kept->ink);
    table_text(table, COLUMN("batch"), kept->batch);
    table_text(table, COLUMN("chart"), kept->chart);
    table_number(table, COLUMN("row"), reading->row);
    table_number(table, COLUMN("column"), reading->column);
    table_text(table, COLUMN("paper"), kept->paper);
    quantity_time(table, COLUMN("inked_at"), &kept->inked_at);
    quantity_time(table, COLUMN("taken"), &kept->taken);
    table_text(table, COLUMN("found"), words_of_found(reading->found));
    put_figures(table, reading, 3);
    table_text(table, COLUMN("photo"), kept->photo);
    table_text(table, COLUMN("photo_hash", .place = COLUMN_IN_DATA), kept->hash);
    table_number(table, COLUMN("take", .place = COLUMN_IN_DATA), kept->take);
    table_text(table, COLUMN("card", .place = COLUMN_IN_DATA), kept->card);
    table_text(table, COLUMN("method", .place = COLUMN_IN_DATA), kept->method);
    put_covariance(table, shared, reading, reading->covariance_shared);
    put_covariance(table, own, reading, reading->covariance_own);
}

void rows_of_export_start(struct table *table)
{
    put_export(table, &(const struct inventory_reading){0});
    table_keep_columns(table);
}

enum status rows_of_export_add(const struct inventory_reading *reading, struct table *table,
                               struct error *error)
{
    put_export(table, reading);
    return table_check(table, error);
}

/* --- card ----------------------------------------------------------------------------------- */

static void put_patch(struct table *table, const struct card *card,
                      const struct correction_quality *quality, int patch)
{
    const struct lab *known = &card->patch[patch];
    const double unknown = quality->used[patch] ? 0 : NAN;

    table_row(table);
    table_number(table, COLUMN("patch"), patch + 1);
    table_text(table, COLUMN("name"), card->patch_name[patch]);
    table_text(table, COLUMN("used"), quality->used[patch] ? "yes" : "no");
    quantity_lab(table, quality->used[patch] ? &quality->measured[patch] : NULL, 2,
                 COLUMN_EVERYWHERE);
    table_number(table, COLUMN("card_L", .title = "card L*", .decimals = 2), known->L);
    table_number(table, COLUMN("card_a", .title = "card a*", .decimals = 2), known->a);
    table_number(table, COLUMN("card_b", .title = "card b*", .decimals = 2), known->b);
    table_number(table, COLUMN("residual", .decimals = 2), quality->residual[patch] + unknown);
    table_number(table, COLUMN("left_out", .title = "left out", .decimals = 2),
                 quality->left_out[patch] + unknown);
}

enum status rows_of_card_fit(const struct card *card, const struct measurement *measurement,
                             struct table *table, struct error *error)
{
    for (int i = 0; i < card->shape.patches; i++)
        put_patch(table, card, &measurement->quality, i);
    return table_check(table, error);
}

enum status rows_of_card(const char *edition, const struct card *card, struct table *table,
                         struct error *error)
{
    table_row(table);
    table_text(table, COLUMN("edition"), edition);
    table_text(table, COLUMN("name"), card->name);
    return table_check(table, error);
}

/* --- repeat --------------------------------------------------------------------------------- */

static void put_repeated(struct table *table, const char *ink, int row, int column,
                         const struct repeat_cell *cell)
{
    const double unknown = cell->photos > 1 ? 0 : NAN;

    table_row(table);
    table_number(table, COLUMN("row"), row);
    table_number(table, COLUMN("column"), column);
    table_text(table, COLUMN("ink"), ink);
    table_number(table, COLUMN("photos"), cell->photos);
    quantity_lab(table, &cell->lab, 2, COLUMN_EVERYWHERE);
    quantity_u95(table, cell->u95, 2);
    table_number(table, COLUMN("repeatability", .decimals = 2), cell->repeatability + unknown);
    table_number(table, COLUMN("delta_e_largest", .title = "largest delta E", .decimals = 2),
                 cell->largest + unknown);
}

enum status rows_of_repeat(const struct names *names, int columns, const struct repeat_cell *cells,
                           size_t count, struct table *table, struct error *error)
{
    put_repeated(table, NULL, 0, 0, &(const struct repeat_cell){0});
    table_keep_columns(table);
    for (size_t i = 0; i < count; i++) {
        int row = (int)i / columns + 1, column = (int)i % columns + 1;
        char label[NAMES_LABEL_SIZE];

        if (cells[i].photos)
            put_repeated(table, names_of_cell(names, row, column, label), row, column, &cells[i]);
    }
    return table_check(table, error);
}
