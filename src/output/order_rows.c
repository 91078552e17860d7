#include "output/order_rows.h"

#include "analysis/settled.h"
#include "quantity.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#define CELL_TEXT_SIZE 256

static bool same_cell(const struct order_cell *a, const struct order_cell *b)
{
    return a->sheet && b->sheet && a->row == b->row && a->column == b->column &&
           strcmp(a->sheet, b->sheet) == 0;
}

/* "sheet B3"; empty for none. */
static void name_cell(const struct order_cell *cell, char text[CELL_TEXT_SIZE])
{
    text[0] = '\0';
    if (cell->sheet)
        snprintf(text, CELL_TEXT_SIZE, "%s %s", cell->sheet, cell->label);
}

static enum column_place shown_if(bool shown)
{
    return shown ? COLUMN_EVERYWHERE : COLUMN_IN_DATA;
}

/* Where an ink goes. */
static void put_place(struct table *table, const struct order_rows_kind *kind,
                      const struct order_row *row)
{
    bool placed = row->now.sheet != NULL;

    table_number(table, COLUMN("place", .place = shown_if(!kind->sheets)),
                 row->place > 0 ? (double)row->place : NAN);
    table_text(table, COLUMN("sheet", .place = shown_if(kind->sheets)), row->now.sheet);
    table_number(table, COLUMN("row", .place = COLUMN_IN_DATA),
                 placed ? (double)row->now.row : NAN);
    table_number(table, COLUMN("column", .place = COLUMN_IN_DATA),
                 placed ? (double)row->now.column : NAN);
    table_text(table, COLUMN("cell", .place = shown_if(kind->sheets)),
               placed ? row->now.label : NULL);
}

/* Where it is today. */
static void put_today(struct table *table, const struct order_rows_kind *kind,
                      const struct order_row *row)
{
    const char *moves = same_cell(&row->now, &row->was) ? "stays"
                        : row->was.sheet                ? "moves"
                                                        : "new";
    char was[CELL_TEXT_SIZE];

    name_cell(&row->was, was);
    table_text(table, COLUMN("was", .place = shown_if(kind->today)), was[0] ? was : NULL);
    table_text(table, COLUMN("moves", .place = shown_if(kind->today)),
               row->now.sheet && row->today ? moves : NULL);
}

static void put_row(struct table *table, const struct order_rows_kind *kind,
                    const struct order_row *row)
{
    table_row(table);
    put_place(table, kind, row);
    table_text(table, COLUMN("ink"), row->name);
    table_text(table, COLUMN("family"), row->family);
    quantity_lab(table, row->ink ? &row->ink->lab : NULL, 2, COLUMN_EVERYWHERE);
    table_number(
        table,
        COLUMN("from_previous", .title = "step", .decimals = 2, .place = shown_if(!kind->slot)),
        row->from_previous);
    put_today(table, kind, row);
    table_text(table, COLUMN("rests_on", .place = COLUMN_IN_DATA),
               settled_words(row->ink ? row->ink->basis : COLOUR_NONE));
}

void order_rows_start(struct table *table, const struct order_rows_kind *kind)
{
    memset(table, 0, sizeof *table);
    put_row(table, kind, &(const struct order_row){0});
    table_keep_columns(table);
}

enum status order_rows_add(const struct order_row *row, struct table *table, struct error *error)
{
    put_row(table, &(const struct order_rows_kind){0}, row);
    return table_check(table, error);
}
