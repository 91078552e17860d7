#include "naming_fit.h"

#include "base/memory.h"
#include "base/utf8.h"
#include "values/statistics.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#define CELLS_MIN 4 /* that must be known before they tell anything */
/* Another way is believed where its median difference is less than half as large, by this much and
 * more: two photos of a sheet differ by 1 or 2, dried ink by 5, other inks by 20. Delta E 2000;
 * common practice, no source. */
#define MUCH_BETTER 2.0

/* What is known of the colours of a sheet's cells, row by row. */
struct known_cells {
    int rows, columns;
    struct lab *lab;
    bool *known;
};

/* --- what is known -------------------------------------------------------------------------- */

static void take_inks(const struct inventory_inks *inks, const struct names *names,
                      struct known_cells *known)
{
    for (int i = 0; i < known->rows * known->columns; i++)
        for (size_t k = 0; names->cells[i].ink[0] && !known->known[i] && k < inks->count; k++)
            if (inks->items[k].measured && utf8_same(inks->items[k].name, names->cells[i].ink)) {
                known->known[i] = true;
                known->lab[i] = inks->items[k].lab;
            }
}

static void take_cells(const struct inventory_cells *cells, struct known_cells *known)
{
    for (size_t i = 0; i < cells->count; i++) {
        const struct inventory_cell *cell = &cells->items[i];
        int place = (cell->row - 1) * known->columns + cell->column - 1;

        if (cell->row > known->rows || cell->column > known->columns)
            continue;
        known->known[place] = true;
        known->lab[place] = cell->lab;
    }
}

static enum status load_known(struct inventory *inventory, const struct naming_sheet *sheet,
                              struct known_cells *known, struct error *error)
{
    size_t count = (size_t)(known->rows * known->columns);
    struct inventory_inks inks = {0};
    struct inventory_cells cells = {0};
    enum status status;

    known->lab = memory_array(count, sizeof *known->lab, "the known colours", error);
    known->known = memory_array(count, sizeof *known->known, "the known colours", error);
    if (!known->lab || !known->known)
        return error->status;
    if (sheet->names) {
        status = inventory_read_inks(inventory, &inks, error);
        if (!status)
            take_inks(&inks, sheet->names, known);
        inventory_inks_release(&inks);
    } else {
        status = inventory_read_cells(inventory, sheet->chart_name, &cells, error);
        if (!status)
            take_cells(&cells, known);
        inventory_cells_release(&cells);
    }
    return status;
}

/* --- how well it fits ----------------------------------------------------------------------- */

/* One way in which the sheet might lie: turned, or shifted by a line. */
struct way {
    int turns;
    int row, column;
    const char *words;
};

static const struct way ways[] = {
    {0, 0, 0, "as it was read"},           {2, 0, 0, "half a turn on"},
    {1, 0, 0, "a quarter turn clockwise"}, {3, 0, 0, "a quarter turn back"},
    {0, 0, 1, "a column further right"},   {0, 0, -1, "a column further left"},
    {0, 1, 0, "a row further down"},       {0, -1, 0, "a row further up"},
};
#define WAYS (sizeof ways / sizeof *ways)

/* The cell whose name would lie on cell `i` of the photo; -1: none. */
static int cell_under(const struct way *way, int rows, int columns, int i)
{
    int row = i / columns - way->row, column = i % columns - way->column;
    int last_row = rows - 1, last_column = columns - 1;

    if (row < 0 || column < 0 || row > last_row || column > last_column)
        return -1;
    switch (way->turns) {
    case 1:
        return rows == columns ? (last_row - column) * columns + row : -1;
    case 2:
        return (last_row - row) * columns + last_column - column;
    case 3:
        return rows == columns ? column * columns + last_column - row : -1;
    default:
        return row * columns + column;
    }
}

/* The median difference from what is known; HUGE_VAL where too little is. */
static enum status fit_of(const struct known_cells *known, const struct measured_chart *chart,
                          const struct way *way, double *fit, struct error *error)
{
    int cells = known->rows * known->columns;
    double *differences = memory_array((size_t)cells, sizeof *differences, "the fit", error);
    size_t count = 0;

    if (!differences)
        return error->status;
    for (int i = 0; i < cells; i++) {
        int under = cell_under(way, known->rows, known->columns, i);

        if (under >= 0 && known->known[under] && chart->readings[i].found == CELL_INK)
            differences[count++] = colour_delta_e_2000(chart->readings[i].lab, known->lab[under]);
    }
    *fit = count >= CELLS_MIN ? statistics_median(differences, count) : HUGE_VAL;
    free(differences);
    return STATUS_OK;
}

static enum status refuse(const struct naming_sheet *sheet, const double fits[WAYS], size_t best,
                          struct error *error)
{
    return error_set(error, STATUS_NOT_FOUND,
                     "%s: the sheet seems to lie otherwise: as it was read, its colours differ "
                     "from those the inventory holds of %s by %.1f (half of them by less), %s by "
                     "%.1f; turn the photo upright, say with --turned how the sheet lies, or mend "
                     "the names (if what was stored is wrong, 'woad forget' it first)",
                     sheet->path, sheet->names ? "the inks named" : "this chart's cells", fits[0],
                     ways[best].words, fits[best]);
}

static enum status judge(const struct naming_sheet *sheet, const double fits[WAYS], bool *told,
                         struct error *error)
{
    size_t best = 0, next = 0;

    for (size_t i = 1; i < WAYS; i++)
        best = fits[i] < fits[best] ? i : best;
    for (size_t i = 1; i < WAYS; i++) /* of the turned ones */
        if (ways[i].turns && (!next || fits[i] < fits[next]))
            next = i;
    if (best && 2 * fits[best] + MUCH_BETTER < fits[0] && isfinite(fits[0]))
        return refuse(sheet, fits, best, error);
    *told = isfinite(fits[0]) && fits[0] + MUCH_BETTER < fits[next];
    return STATUS_OK;
}

enum status naming_fit_check(struct inventory *inventory, const struct naming_sheet *sheet,
                             bool *told, struct error *error)
{
    struct known_cells known = {.rows = sheet->chart->pose.rows,
                                .columns = sheet->chart->pose.columns};
    double fits[WAYS];
    enum status status = load_known(inventory, sheet, &known, error);

    *told = false;
    for (size_t i = 0; !status && i < WAYS; i++)
        status = fit_of(&known, sheet->chart, &ways[i], &fits[i], error);
    if (!status)
        status = judge(sheet, fits, told, error);
    free(known.lab);
    free(known.known);
    return status;
}
