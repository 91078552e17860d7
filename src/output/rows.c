#include "output/rows.h"

#include "base/text.h"

#include "files/clock.h"
#include "measurement/words.h"

#include <math.h>
#include <string.h>

#define COUNT(array) (sizeof(array) / sizeof *(array))

static void table_start(struct table *table, const struct column *columns, size_t count)
{
    memset(table, 0, sizeof *table);
    table->columns = columns;
    table->column_count = count;
}

/* A number of a reading, which an unreadable cell has not. */
static struct field figure(const struct reading *reading, double number)
{
    return reading->found == CELL_UNREADABLE ? field_missing() : field_number(number);
}

/* A time as text in `buffer`; missing if not known. */
static struct field moment(const struct photo_time *time, char buffer[CLOCK_TEXT_SIZE])
{
    clock_format(time, buffer);
    return field_text(buffer[0] ? buffer : NULL);
}

/* --- measure -------------------------------------------------------------------------------- */

static const struct column measurement_columns[] = {
    {"photo", NULL, COLUMN_TEXT, 0, COLUMN_IN_DATA},
    {"row", NULL, COLUMN_NUMBER, 0, COLUMN_IN_DATA},
    {"column", NULL, COLUMN_NUMBER, 0, COLUMN_IN_DATA},
    {"cell", NULL, COLUMN_TEXT, 0, COLUMN_IN_TEXT},
    {"ink", NULL, COLUMN_TEXT, 0, COLUMN_EVERYWHERE},
    {"found", NULL, COLUMN_TEXT, 0, COLUMN_EVERYWHERE},
    {"L", "L*", COLUMN_NUMBER, 2, COLUMN_EVERYWHERE},
    {"a", "a*", COLUMN_NUMBER, 2, COLUMN_EVERYWHERE},
    {"b", "b*", COLUMN_NUMBER, 2, COLUMN_EVERYWHERE},
    {"u95", "\xC2\xB1u95", COLUMN_NUMBER, 2, COLUMN_EVERYWHERE},
    {"evenness", NULL, COLUMN_NUMBER, 2, COLUMN_EVERYWHERE},
    {"flags", NULL, COLUMN_WORDS, 0, COLUMN_EVERYWHERE},
};

static enum status add_cell(const char *photo, const struct reading *reading,
                            const struct names *names, struct table *table, struct error *error)
{
    char label[NAMES_LABEL_SIZE], other_label[NAMES_LABEL_SIZE];
    char flags[WORDS_FLAGS_SIZE];

    names_label(reading->row, reading->column, label);
    words_of_flags(reading->flags, flags);
    return table_add(
        table,
        (const struct field[COUNT(measurement_columns)]){
            field_text(photo), field_number(reading->row), field_number(reading->column),
            field_text(label),
            field_text(names_of_cell(names, reading->row, reading->column, other_label)),
            field_text(words_of_found(reading->found)), figure(reading, reading->lab.L),
            figure(reading, reading->lab.a), figure(reading, reading->lab.b),
            figure(reading, reading->u95), figure(reading, reading->evenness), field_text(flags)},
        error);
}

enum status rows_of_measurement(const char *photo, const struct measured_chart *chart,
                                const struct names *names, struct table *table, struct error *error)
{
    const struct chart_pose *pose = &chart->pose;
    struct text called = {0};
    enum status status = text_add(&called, error, "%s", photo);

    if (!status && pose->charts > 1)
        status = text_add(&called, error, " chart %d", pose->number);
    table_start(table, measurement_columns, COUNT(measurement_columns));
    for (int i = 0; !status && i < pose->rows * pose->columns; i++)
        status = add_cell(called.bytes, &chart->readings[i], names, table, error);
    text_release(&called);
    return status;
}

/* --- inks and show -------------------------------------------------------------------------- */

static const struct column ink_columns[] = {
    {"ink", NULL, COLUMN_TEXT, 0, COLUMN_EVERYWHERE},
    {"L", "L*", COLUMN_NUMBER, 2, COLUMN_EVERYWHERE},
    {"a", "a*", COLUMN_NUMBER, 2, COLUMN_EVERYWHERE},
    {"b", "b*", COLUMN_NUMBER, 2, COLUMN_EVERYWHERE},
    {"u95", "\xC2\xB1u95", COLUMN_NUMBER, 2, COLUMN_EVERYWHERE},
    {"taken", "latest", COLUMN_TEXT, 0, COLUMN_EVERYWHERE},
    {"readings", NULL, COLUMN_NUMBER, 0, COLUMN_EVERYWHERE},
    {"swatches", NULL, COLUMN_NUMBER, 0, COLUMN_EVERYWHERE},
    {"flags", NULL, COLUMN_WORDS, 0, COLUMN_EVERYWHERE},
};

static enum status add_ink(const struct inventory_ink *ink, struct table *table,
                           struct error *error)
{
    const double unknown = ink->measured ? 0 : NAN;
    char taken[CLOCK_TEXT_SIZE], flags[WORDS_FLAGS_SIZE];

    words_of_flags(ink->flags, flags);
    return table_add(table,
                     (const struct field[COUNT(ink_columns)]){
                         field_text(ink->name), field_number(ink->lab.L + unknown),
                         field_number(ink->lab.a + unknown), field_number(ink->lab.b + unknown),
                         field_number(ink->u95 + unknown), moment(&ink->taken, taken),
                         field_number(ink->readings), field_number(ink->swatches),
                         field_text(flags)},
                     error);
}

enum status rows_of_inks(const struct inventory_inks *inks, struct table *table,
                         struct error *error)
{
    enum status status = STATUS_OK;

    table_start(table, ink_columns, COUNT(ink_columns));
    for (size_t i = 0; !status && i < inks->count; i++)
        status = add_ink(&inks->items[i], table, error);
    return status;
}

static const struct column reading_columns[] = {
    {"taken", NULL, COLUMN_TEXT, 0, COLUMN_EVERYWHERE},
    {"chart", NULL, COLUMN_TEXT, 0, COLUMN_EVERYWHERE},
    {"cell", NULL, COLUMN_TEXT, 0, COLUMN_EVERYWHERE},
    {"batch", NULL, COLUMN_TEXT, 0, COLUMN_EVERYWHERE},
    {"found", NULL, COLUMN_TEXT, 0, COLUMN_EVERYWHERE},
    {"L", "L*", COLUMN_NUMBER, 2, COLUMN_EVERYWHERE},
    {"a", "a*", COLUMN_NUMBER, 2, COLUMN_EVERYWHERE},
    {"b", "b*", COLUMN_NUMBER, 2, COLUMN_EVERYWHERE},
    {"u95", "\xC2\xB1u95", COLUMN_NUMBER, 2, COLUMN_EVERYWHERE},
    {"evenness", NULL, COLUMN_NUMBER, 2, COLUMN_EVERYWHERE},
    {"flags", NULL, COLUMN_WORDS, 0, COLUMN_EVERYWHERE},
    {"photo", NULL, COLUMN_TEXT, 0, COLUMN_EVERYWHERE},
};

static enum status add_reading(const struct inventory_reading *kept, struct table *table,
                               struct error *error)
{
    const struct reading *reading = &kept->reading;
    char taken[CLOCK_TEXT_SIZE], label[NAMES_LABEL_SIZE], flags[WORDS_FLAGS_SIZE];

    names_label(reading->row, reading->column, label);
    words_of_flags(reading->flags, flags);
    return table_add(table,
                     (const struct field[COUNT(reading_columns)]){
                         moment(&kept->taken, taken), field_text(kept->chart), field_text(label),
                         field_text(kept->batch), field_text(words_of_found(reading->found)),
                         figure(reading, reading->lab.L), figure(reading, reading->lab.a),
                         figure(reading, reading->lab.b), figure(reading, reading->u95),
                         figure(reading, reading->evenness), field_text(flags),
                         field_text(kept->photo)},
                     error);
}

enum status rows_of_ink_readings(const struct inventory_readings *readings, struct table *table,
                                 struct error *error)
{
    enum status status = STATUS_OK;

    table_start(table, reading_columns, COUNT(reading_columns));
    for (size_t i = 0; !status && i < readings->count; i++)
        status = add_reading(&readings->items[i], table, error);
    return status;
}

/* --- export --------------------------------------------------------------------------------- */

static const struct column export_columns[] = {
    {"ink", NULL, COLUMN_TEXT, 0, COLUMN_EVERYWHERE},
    {"batch", NULL, COLUMN_TEXT, 0, COLUMN_EVERYWHERE},
    {"chart", NULL, COLUMN_TEXT, 0, COLUMN_EVERYWHERE},
    {"row", NULL, COLUMN_NUMBER, 0, COLUMN_EVERYWHERE},
    {"column", NULL, COLUMN_NUMBER, 0, COLUMN_EVERYWHERE},
    {"paper", NULL, COLUMN_TEXT, 0, COLUMN_EVERYWHERE},
    {"inked_at", NULL, COLUMN_TEXT, 0, COLUMN_EVERYWHERE},
    {"taken", NULL, COLUMN_TEXT, 0, COLUMN_EVERYWHERE},
    {"found", NULL, COLUMN_TEXT, 0, COLUMN_EVERYWHERE},
    {"L", NULL, COLUMN_NUMBER, 3, COLUMN_EVERYWHERE},
    {"a", NULL, COLUMN_NUMBER, 3, COLUMN_EVERYWHERE},
    {"b", NULL, COLUMN_NUMBER, 3, COLUMN_EVERYWHERE},
    {"u95", NULL, COLUMN_NUMBER, 3, COLUMN_EVERYWHERE},
    {"evenness", NULL, COLUMN_NUMBER, 3, COLUMN_EVERYWHERE},
    {"flags", NULL, COLUMN_WORDS, 0, COLUMN_EVERYWHERE},
    {"photo", NULL, COLUMN_TEXT, 0, COLUMN_EVERYWHERE},
    {"photo_hash", NULL, COLUMN_TEXT, 0, COLUMN_IN_DATA},
    {"take", NULL, COLUMN_NUMBER, 0, COLUMN_IN_DATA},
    {"card", NULL, COLUMN_TEXT, 0, COLUMN_IN_DATA},
    {"method", NULL, COLUMN_TEXT, 0, COLUMN_IN_DATA},
    {"shared_LL", NULL, COLUMN_NUMBER, 6, COLUMN_IN_DATA},
    {"shared_La", NULL, COLUMN_NUMBER, 6, COLUMN_IN_DATA},
    {"shared_Lb", NULL, COLUMN_NUMBER, 6, COLUMN_IN_DATA},
    {"shared_aa", NULL, COLUMN_NUMBER, 6, COLUMN_IN_DATA},
    {"shared_ab", NULL, COLUMN_NUMBER, 6, COLUMN_IN_DATA},
    {"shared_bb", NULL, COLUMN_NUMBER, 6, COLUMN_IN_DATA},
    {"own_LL", NULL, COLUMN_NUMBER, 6, COLUMN_IN_DATA},
    {"own_La", NULL, COLUMN_NUMBER, 6, COLUMN_IN_DATA},
    {"own_Lb", NULL, COLUMN_NUMBER, 6, COLUMN_IN_DATA},
    {"own_aa", NULL, COLUMN_NUMBER, 6, COLUMN_IN_DATA},
    {"own_ab", NULL, COLUMN_NUMBER, 6, COLUMN_IN_DATA},
    {"own_bb", NULL, COLUMN_NUMBER, 6, COLUMN_IN_DATA},
};

enum { EXPORT_COVARIANCES_AT = COUNT(export_columns) - 12 };

/* The upper triangle of a covariance, row by row. */
static void add_covariance(const struct reading *reading, const double covariance[9],
                           struct field fields[6])
{
    static const int upper[6] = {0, 1, 2, 4, 5, 8};

    for (int i = 0; i < 6; i++)
        fields[i] = figure(reading, covariance[upper[i]]);
}

static enum status add_export(const struct inventory_reading *kept, struct table *table,
                              struct error *error)
{
    const struct reading *reading = &kept->reading;
    char taken[CLOCK_TEXT_SIZE], inked_at[CLOCK_TEXT_SIZE], flags[WORDS_FLAGS_SIZE];
    struct field fields[COUNT(export_columns)] = {field_text(kept->ink),
                                                  field_text(kept->batch),
                                                  field_text(kept->chart),
                                                  field_number(reading->row),
                                                  field_number(reading->column),
                                                  field_text(kept->paper),
                                                  moment(&kept->inked_at, inked_at),
                                                  moment(&kept->taken, taken),
                                                  field_text(words_of_found(reading->found)),
                                                  figure(reading, reading->lab.L),
                                                  figure(reading, reading->lab.a),
                                                  figure(reading, reading->lab.b),
                                                  figure(reading, reading->u95),
                                                  figure(reading, reading->evenness),
                                                  field_text(flags),
                                                  field_text(kept->photo),
                                                  field_text(kept->hash),
                                                  field_number(kept->take),
                                                  field_text(kept->card),
                                                  field_text(kept->method)};

    words_of_flags(reading->flags, flags);
    add_covariance(reading, reading->covariance_shared, fields + EXPORT_COVARIANCES_AT);
    add_covariance(reading, reading->covariance_own, fields + EXPORT_COVARIANCES_AT + 6);
    return table_add(table, fields, error);
}

enum status rows_of_export(const struct inventory_readings *readings, struct table *table,
                           struct error *error)
{
    enum status status = STATUS_OK;

    table_start(table, export_columns, COUNT(export_columns));
    for (size_t i = 0; !status && i < readings->count; i++)
        status = add_export(&readings->items[i], table, error);
    return status;
}

/* --- card ----------------------------------------------------------------------------------- */

static const struct column card_columns[] = {
    {"patch", NULL, COLUMN_NUMBER, 0, COLUMN_EVERYWHERE},
    {"name", NULL, COLUMN_TEXT, 0, COLUMN_EVERYWHERE},
    {"used", NULL, COLUMN_TEXT, 0, COLUMN_EVERYWHERE},
    {"L", "L*", COLUMN_NUMBER, 2, COLUMN_EVERYWHERE},
    {"a", "a*", COLUMN_NUMBER, 2, COLUMN_EVERYWHERE},
    {"b", "b*", COLUMN_NUMBER, 2, COLUMN_EVERYWHERE},
    {"card_L", "card L*", COLUMN_NUMBER, 2, COLUMN_EVERYWHERE},
    {"card_a", "card a*", COLUMN_NUMBER, 2, COLUMN_EVERYWHERE},
    {"card_b", "card b*", COLUMN_NUMBER, 2, COLUMN_EVERYWHERE},
    {"residual", NULL, COLUMN_NUMBER, 2, COLUMN_EVERYWHERE},
    {"left_out", "left out", COLUMN_NUMBER, 2, COLUMN_EVERYWHERE},
};

static enum status add_patch(const struct card *card, const struct correction_quality *quality,
                             int patch, struct table *table, struct error *error)
{
    const struct lab *seen = &quality->measured[patch];
    const struct lab *known = &card->patch[patch];
    const double unknown = quality->used[patch] ? 0 : NAN;

    return table_add(table,
                     (const struct field[COUNT(card_columns)]){
                         field_number(patch + 1), field_text(card->patch_name[patch]),
                         field_text(quality->used[patch] ? "yes" : "no"),
                         field_number(seen->L + unknown), field_number(seen->a + unknown),
                         field_number(seen->b + unknown), field_number(known->L),
                         field_number(known->a), field_number(known->b),
                         field_number(quality->residual[patch] + unknown),
                         field_number(quality->left_out[patch] + unknown)},
                     error);
}

enum status rows_of_card_fit(const struct card *card, const struct measurement *measurement,
                             struct table *table, struct error *error)
{
    enum status status = STATUS_OK;

    table_start(table, card_columns, COUNT(card_columns));
    for (int i = 0; !status && i < CARD_PATCHES; i++)
        status = add_patch(card, &measurement->quality, i, table, error);
    return status;
}
