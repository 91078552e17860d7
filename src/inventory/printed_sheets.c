#include "inventory/printed_sheets.h"

#include "base/memory.h"
#include "columns.h"
#include "database.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

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

static const struct column sheet_columns[] = {
    COLUMN(struct inventory_sheet, number, "number"),
    COLUMN(struct inventory_sheet, title, "title"),
    COLUMN(struct inventory_sheet, page, "page"),
    COLUMN(struct inventory_sheet, chart.rows, "rows"),
    COLUMN(struct inventory_sheet, chart.columns, "columns"),
    COLUMN(struct inventory_sheet, chart.page_mm, "page_x_mm, page_y_mm"),
    COLUMN(struct inventory_sheet, chart.first_mm, "first_x_mm, first_y_mm"),
    COLUMN(struct inventory_sheet, chart.cell_mm, "cell_x_mm, cell_y_mm"),
    COLUMN(struct inventory_sheet, chart.pitch_mm, "pitch_x_mm, pitch_y_mm"),
    COLUMN(struct inventory_sheet, chart.card_mm, "card_x_mm, card_y_mm"),
    COLUMN(struct inventory_sheet, made, "made_utc_s, made_offset_min, 'given'"),
    {0}};

/* A cell of a sheet, and what stands in it. */
struct cell_row {
    int row, column; /* from 1 */
    struct name name;
};

static const struct column cell_columns[] = {COLUMN(struct cell_row, row, "row"),
                                             COLUMN(struct cell_row, column, "column"),
                                             COLUMN_NAME(struct cell_row, name.ink, "ink"),
                                             COLUMN_NAME(struct cell_row, name.batch, "batch"),
                                             {0}};

static enum status take_sheet(void *context, void *row, struct error *error)
{
    struct inventory_sheet *sheet = row;
    struct names *names = &sheet->names;

    names->rows = sheet->chart.rows;
    names->columns = sheet->chart.columns;
    names->cells = memory_array((size_t)(names->rows * names->columns), sizeof *names->cells,
                                "a sheet's names", error);
    if (!names->cells)
        return error->status;
    *(struct inventory_sheet *)context = *sheet;
    return STATUS_OK;
}

static enum status take_cell(void *context, void *row, struct error *error)
{
    struct inventory_sheet *sheet = context;
    const struct cell_row *cell = row;
    int at = (cell->row - 1) * sheet->names.columns + cell->column - 1;

    if (at < 0 || at >= sheet->names.rows * sheet->names.columns)
        return error_set(error, STATUS_INVENTORY, "sheet %d has a name outside its cells",
                         sheet->number);
    sheet->names.cells[at] = cell->name;
    return STATUS_OK;
}

enum status inventory_read_sheet(struct inventory *inventory, int number,
                                 struct inventory_sheet *sheet, struct error *error)
{
    const struct bound bound = bound_integer(number);
    const struct selection of_sheet = {.columns = sheet_columns,
                                       .after = "FROM sheet WHERE number = ?",
                                       .bound = &bound,
                                       .bound_count = 1};
    const struct selection of_cells = {.columns = cell_columns,
                                       .after = "FROM sheet_cell WHERE sheet_number = ?",
                                       .bound = &bound,
                                       .bound_count = 1};
    struct inventory_sheet sheet_row;
    struct cell_row cell_row;
    const struct columns_taker sheets = {&sheet_row, sizeof sheet_row, take_sheet, sheet};
    const struct columns_taker cells = {&cell_row, sizeof cell_row, take_cell, sheet};
    enum status status;

    memset(sheet, 0, sizeof *sheet);
    status = columns_each(inventory, &of_sheet, &sheets, error);
    if (!status && sheet->number)
        status = columns_each(inventory, &of_cells, &cells, error);
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
