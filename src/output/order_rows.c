#include "output/order_rows.h"

#include "analysis/settled.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#define COUNT(array) (sizeof(array) / sizeof *(array))

#define ORDER_COLUMNS(place, sheet, cell, step, today)                                             \
    {                                                                                              \
        {"place", NULL, COLUMN_NUMBER, 0, place}, {"sheet", NULL, COLUMN_TEXT, 0, sheet},          \
            {"row", NULL, COLUMN_NUMBER, 0, COLUMN_IN_DATA},                                       \
            {"column", NULL, COLUMN_NUMBER, 0, COLUMN_IN_DATA},                                    \
            {"cell", NULL, COLUMN_TEXT, 0, cell},                                                  \
            {"ink", NULL, COLUMN_TEXT, 0, COLUMN_EVERYWHERE},                                      \
            {"family", NULL, COLUMN_TEXT, 0, COLUMN_EVERYWHERE},                                   \
            {"L", "L*", COLUMN_NUMBER, 2, COLUMN_EVERYWHERE},                                      \
            {"a", "a*", COLUMN_NUMBER, 2, COLUMN_EVERYWHERE},                                      \
            {"b", "b*", COLUMN_NUMBER, 2, COLUMN_EVERYWHERE},                                      \
            {"step", NULL, COLUMN_NUMBER, 2, step}, {"was", NULL, COLUMN_TEXT, 0, today},          \
            {"moves", NULL, COLUMN_TEXT, 0, today},                                                \
        {                                                                                          \
            "rests_on", NULL, COLUMN_TEXT, 0, COLUMN_IN_DATA                                       \
        }                                                                                          \
    }

static const struct column plain_columns[] = ORDER_COLUMNS(
    COLUMN_EVERYWHERE, COLUMN_IN_DATA, COLUMN_IN_DATA, COLUMN_EVERYWHERE, COLUMN_IN_DATA);
static const struct column sheet_columns[] = ORDER_COLUMNS(
    COLUMN_IN_DATA, COLUMN_EVERYWHERE, COLUMN_EVERYWHERE, COLUMN_EVERYWHERE, COLUMN_IN_DATA);
static const struct column today_columns[] = ORDER_COLUMNS(
    COLUMN_IN_DATA, COLUMN_EVERYWHERE, COLUMN_EVERYWHERE, COLUMN_EVERYWHERE, COLUMN_EVERYWHERE);
static const struct column slot_columns[] = ORDER_COLUMNS(
    COLUMN_IN_DATA, COLUMN_EVERYWHERE, COLUMN_EVERYWHERE, COLUMN_IN_DATA, COLUMN_EVERYWHERE);

void order_rows_start(struct table *table, const struct order_rows_kind *kind)
{
    memset(table, 0, sizeof *table);
    table->column_count = COUNT(plain_columns);
    if (kind->slot)
        table->columns = slot_columns;
    else if (kind->today)
        table->columns = today_columns;
    else
        table->columns = kind->sheets ? sheet_columns : plain_columns;
}

static bool same_cell(const struct order_cell *a, const struct order_cell *b)
{
    return a->sheet && b->sheet && a->row == b->row && a->column == b->column &&
           strcmp(a->sheet, b->sheet) == 0;
}

/* "sheet B3". */
static void put_cell(const struct order_cell *cell, char *text, size_t size)
{
    text[0] = '\0';
    if (cell->sheet)
        snprintf(text, size, "%s %s", cell->sheet, cell->label);
}

static double known(bool is_known, double number)
{
    return is_known ? number : NAN;
}

enum status order_rows_add(const struct order_row *row, struct table *table, struct error *error)
{
    const struct range_ink none = {.basis = COLOUR_NONE};
    const struct range_ink *ink = row->ink ? row->ink : &none;
    bool placed = row->now.sheet != NULL, coloured = row->ink != NULL;
    const char *moves = same_cell(&row->now, &row->was) ? "stays"
                        : row->was.sheet                ? "moves"
                                                        : "new";
    char was[256];

    put_cell(&row->was, was, sizeof was);
    return table_add(
        table,
        (const struct field[COUNT(plain_columns)]){
            field_number(known(row->place > 0, row->place)), field_text(row->now.sheet),
            field_number(known(placed, row->now.row)), field_number(known(placed, row->now.column)),
            field_text(placed ? row->now.label : NULL), field_text(row->name),
            field_text(row->family), field_number(known(coloured, ink->lab.L)),
            field_number(known(coloured, ink->lab.a)), field_number(known(coloured, ink->lab.b)),
            field_number(row->step), field_text(was[0] ? was : NULL),
            field_text(placed && row->today ? moves : NULL), field_text(settled_words(ink->basis))},
        error);
}
