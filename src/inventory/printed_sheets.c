#include "inventory/printed_sheets.h"

#include "base/memory.h"
#include "columns.h"
#include "database.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define COUNT(array) ((int)(sizeof(array) / sizeof *(array)))

/* --- writing ---------------------------------------------------------------------------------- */

static enum status find_numbers(struct inventory *inventory, struct inventory_sheet *sheet,
                                struct error *error)
{
    const struct bound same[] = {bound_text(sheet->title), bound_integer(sheet->page)};
    const struct query number = {"SELECT coalesce(max(number), 0) + 1 FROM sheet", NULL, 0};
    const struct query printing = {"SELECT count(*) + 1 FROM sheet WHERE title = ? AND page = ?",
                                   same, COUNT(same)};
    long long next = 0, times = 0;
    enum status status = database_lookup(inventory, &number, &next, error);

    if (!status && next >= TAG_SHEETS)
        status = error_set(error, STATUS_INVENTORY,
                           "%s: all %d numbers that corner marks can tell are given to printed "
                           "sheets; begin another inventory",
                           inventory->path, TAG_SHEETS - 1);
    if (!status)
        status = database_lookup(inventory, &printing, &times, error);
    sheet->number = (int)next;
    sheet->printing = (int)times;
    return status;
}

static enum status insert_sheet(struct inventory *inventory, const struct inventory_sheet *sheet,
                                struct error *error)
{
    const struct printed_chart *chart = &sheet->chart;
    const struct bound bound[] = {
        bound_integer(sheet->number),    bound_text(sheet->title),
        bound_integer(sheet->page),      bound_integer(chart->rows),
        bound_integer(chart->columns),   bound_real(chart->page_mm.x),
        bound_real(chart->page_mm.y),    bound_real(chart->first_mm.x),
        bound_real(chart->first_mm.y),   bound_real(chart->cell_mm.x),
        bound_real(chart->cell_mm.y),    bound_real(chart->pitch_mm.x),
        bound_real(chart->pitch_mm.y),   bound_real(chart->card_mm.x),
        bound_real(chart->card_mm.y),    bound_time_seconds(&sheet->made),
        bound_time_offset(&sheet->made),
    };
    const struct query query = {"INSERT INTO sheet (number, title, page, rows, columns, page_x_mm,"
                                " page_y_mm, first_x_mm, first_y_mm, cell_x_mm, cell_y_mm,"
                                " pitch_x_mm, pitch_y_mm, card_x_mm, card_y_mm, made_utc_s,"
                                " made_offset_min) VALUES (?,?,?,?,?,?,?,?,?,?,?,?,?,?,?,?,?)",
                                bound, COUNT(bound)};

    return database_execute(inventory, &query, error);
}

static enum status insert_cell(struct inventory *inventory, const struct inventory_sheet *sheet,
                               int row, int column, struct error *error)
{
    const struct name *name = names_at(&sheet->names, row, column);
    const struct bound bound[] = {bound_integer(sheet->number), bound_integer(row),
                                  bound_integer(column), bound_text(name->ink),
                                  bound_text(name->batch[0] ? name->batch : NULL)};
    const struct query query = {
        "INSERT INTO sheet_cell (sheet_number, row, column, ink, batch) VALUES (?,?,?,?,?)", bound,
        COUNT(bound)};

    return name->ink[0] ? database_execute(inventory, &query, error) : STATUS_OK;
}

enum status inventory_add_sheet(struct inventory *inventory, struct inventory_sheet *sheet,
                                struct error *error)
{
    enum status status = database_begin(inventory, error);

    if (status)
        return status;
    status = find_numbers(inventory, sheet, error);
    if (!status)
        status = insert_sheet(inventory, sheet, error);
    for (int row = 1; !status && row <= sheet->names.rows; row++)
        for (int column = 1; !status && column <= sheet->names.columns; column++)
            status = insert_cell(inventory, sheet, row, column, error);
    return database_end(inventory, status, error);
}

/* --- reading ---------------------------------------------------------------------------------- */

static struct point column_point(sqlite3_stmt *row, int at)
{
    return (struct point){sqlite3_column_double(row, at), sqlite3_column_double(row, at + 1)};
}

static enum status take_sheet(sqlite3_stmt *row, struct inventory_sheet *sheet, struct error *error)
{
    struct printed_chart *chart = &sheet->chart;

    sheet->number = sqlite3_column_int(row, 0);
    sheet->page = sqlite3_column_int(row, 2);
    chart->rows = sheet->names.rows = sqlite3_column_int(row, 3);
    chart->columns = sheet->names.columns = sqlite3_column_int(row, 4);
    chart->page_mm = column_point(row, 5);
    chart->first_mm = column_point(row, 7);
    chart->cell_mm = column_point(row, 9);
    chart->pitch_mm = column_point(row, 11);
    chart->card_mm = column_point(row, 13);
    sheet->made = columns_time(row, 15);
    sheet->names.cells = memory_array((size_t)(chart->rows * chart->columns),
                                      sizeof *sheet->names.cells, "a sheet's names", error);
    return sheet->names.cells ? columns_text(row, 1, &sheet->title, error) : error->status;
}

/* Step through the rows of a query about a sheet, and give each to `take`. */
static enum status
each_row(struct inventory *inventory, const char *sql, struct inventory_sheet *sheet,
         enum status (*take)(sqlite3_stmt *, struct inventory_sheet *, struct error *),
         struct error *error)
{
    const struct bound number = bound_integer(sheet->number);
    const struct query query = {sql, &number, 1};
    sqlite3_stmt *statement = NULL;
    bool row = true;
    enum status status = database_prepare(inventory, &query, &statement, error);

    sheet->number = 0;
    while (!status && row) {
        status = database_step(inventory, statement, &row, error);
        if (!status && row)
            status = take(statement, sheet, error);
    }
    sqlite3_finalize(statement);
    return status;
}

static enum status take_cell(sqlite3_stmt *row, struct inventory_sheet *sheet, struct error *error)
{
    int at =
        (sqlite3_column_int(row, 1) - 1) * sheet->names.columns + sqlite3_column_int(row, 2) - 1;
    const char *batch = (const char *)sqlite3_column_text(row, 4);
    struct name *name;

    sheet->number = sqlite3_column_int(row, 0);
    if (at < 0 || at >= sheet->names.rows * sheet->names.columns)
        return error_set(error, STATUS_INVENTORY, "sheet %d has a name outside its cells",
                         sheet->number);
    name = &sheet->names.cells[at];
    snprintf(name->ink, sizeof name->ink, "%s", (const char *)sqlite3_column_text(row, 3));
    snprintf(name->batch, sizeof name->batch, "%s", batch ? batch : "");
    return STATUS_OK;
}

enum status inventory_read_sheet(struct inventory *inventory, int number,
                                 struct inventory_sheet *sheet, struct error *error)
{
    enum status status;
    bool known;

    memset(sheet, 0, sizeof *sheet);
    sheet->number = number;
    status = each_row(inventory,
                      "SELECT number, title, page, rows, columns, page_x_mm, page_y_mm,"
                      " first_x_mm, first_y_mm, cell_x_mm, cell_y_mm, pitch_x_mm, pitch_y_mm,"
                      " card_x_mm, card_y_mm, made_utc_s, made_offset_min"
                      " FROM sheet WHERE number = ?",
                      sheet, take_sheet, error);
    known = !status && sheet->number;
    sheet->number = number;
    if (known)
        status = each_row(inventory,
                          "SELECT sheet_number, row, column, ink, batch FROM sheet_cell"
                          " WHERE sheet_number = ?",
                          sheet, take_cell, error);
    sheet->number = known ? number : 0;
    if (status)
        inventory_sheet_release(sheet);
    return status;
}

void inventory_sheet_release(struct inventory_sheet *sheet)
{
    free(sheet->title);
    names_release(&sheet->names);
    memset(sheet, 0, sizeof *sheet);
}
