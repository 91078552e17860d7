#include "quantity.h"

#include "values/calendar.h"
#include "files/names.h"
#include "measurement/words.h"

#include <math.h>

void quantity_lab(struct table *table, const struct lab *lab, int decimals, enum column_place place)
{
    table_number(table, COLUMN("L", .title = "L*", .decimals = decimals, .place = place),
                 lab ? lab->L : NAN);
    table_number(table, COLUMN("a", .title = "a*", .decimals = decimals, .place = place),
                 lab ? lab->a : NAN);
    table_number(table, COLUMN("b", .title = "b*", .decimals = decimals, .place = place),
                 lab ? lab->b : NAN);
}

void quantity_u95(struct table *table, double u95, int decimals)
{
    table_number(table, COLUMN("u95", .title = "within", .decimals = decimals), u95);
}

void quantity_delta_e(struct table *table, const struct interval *delta_e)
{
    table_number(table, COLUMN("delta_e", .title = "delta E", .decimals = 2),
                 delta_e ? delta_e->measured : NAN);
    table_number(
        table,
        COLUMN("delta_e_low", .title = "95 % from", .decimals = 2, .place = COLUMN_WITH_MORE),
        delta_e ? delta_e->low : NAN);
    table_number(table,
                 COLUMN("delta_e_high", .title = "to", .decimals = 2, .place = COLUMN_WITH_MORE),
                 delta_e ? delta_e->high : NAN);
}

void quantity_parts(struct table *table, const struct difference *difference,
                    enum column_place place)
{
    table_number(table, COLUMN("dL", .title = "dL*", .decimals = 2, .place = place),
                 difference ? difference->dL : NAN);
    table_number(table, COLUMN("dC", .title = "dC*", .decimals = 2, .place = place),
                 difference ? difference->dC : NAN);
    table_number(table, COLUMN("dH", .title = "dH*", .decimals = 2, .place = place),
                 difference ? difference->dH : NAN);
}

void quantity_time(struct table *table, struct column column, const struct photo_time *time)
{
    char text[CALENDAR_TEXT_SIZE];

    calendar_format(time, text);
    table_text(table, column, text[0] ? text : NULL);
}

void quantity_cell(struct table *table, int row, int column, enum column_place place)
{
    char label[NAMES_LABEL_SIZE] = "";

    if (row > 0)
        names_label(row, column, label);
    table_text(table, COLUMN("cell", .place = place), label[0] ? label : NULL);
}

void quantity_flags(struct table *table, unsigned flags)
{
    char words[WORDS_FLAGS_SIZE];

    words_of_flags(flags, words);
    table_words(table, COLUMN("flags"), words);
}
