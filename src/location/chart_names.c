#include "location/chart_names.h"

#include <stdbool.h>

#define TURNS 4
#define DISAGREE_FRACTION 0.15 /* of the cells: a names file off by more is another sheet's */
#define DISAGREE_MIN 2

int chart_names_disagree(const struct ink_seen *seen, const struct chart_wanted *wanted,
                         const struct chart_lay *lay)
{
    int columns = seen->lines[AXIS_COLUMN] + 2 * seen->around;
    int rows = seen->lines[AXIS_ROW] + 2 * seen->around, count = 0;

    for (int i = 0; i < wanted->rows * wanted->columns; i++) {
        int at[AXES] = {i % wanted->columns + lay->column, i / wanted->columns + lay->row};
        int column, row;

        lattice_turn_back(seen->lines, lay->turns, at);
        column = at[AXIS_COLUMN] + seen->around;
        row = at[AXIS_ROW] + seen->around;
        if (column >= 0 && row >= 0 && column < columns && row < rows)
            count +=
                seen->places[row * columns + column] == (wanted->named[i] ? INK_NONE : INK_SEEN);
    }
    return count;
}

int chart_names_reach(const int lines[AXES], const struct chart_wanted *wanted)
{
    int larger = wanted->rows > wanted->columns ? wanted->rows : wanted->columns;
    int smaller = lines[AXIS_ROW] < lines[AXIS_COLUMN] ? lines[AXIS_ROW] : lines[AXIS_COLUMN];

    return wanted->named && larger > smaller ? larger - smaller : 0;
}

/* The best way found so far, and how well it and the best other one agree with what is seen. */
struct search {
    const struct ink_seen *seen;
    const struct chart_wanted *wanted;
    struct chart_lay best;
    int disagreements;
    int next;
};

static void try_lay(const struct chart_lay *lay, struct search *search)
{
    int count = chart_names_disagree(search->seen, search->wanted, lay);

    if (count < search->disagreements) {
        search->next = search->disagreements;
        search->disagreements = count;
        search->best = *lay;
    } else if (count < search->next) {
        search->next = count;
    }
}

/* Lay the names in every turn and place that holds all that was found. */
static void try_all(struct search *search)
{
    const int *lines = search->seen->lines;

    for (int turns = 0; turns < TURNS; turns++) {
        int columns = turns % 2 ? lines[AXIS_ROW] : lines[AXIS_COLUMN];
        int rows = turns % 2 ? lines[AXIS_COLUMN] : lines[AXIS_ROW];
        int spare = columns - search->wanted->columns;

        if (search->wanted->turned && turns != search->wanted->turns)
            continue;

        for (int row = rows - search->wanted->rows; row <= 0; row++)
            for (int column = spare; column <= 0; column++)
                try_lay(&(struct chart_lay){turns, column, row}, search);
    }
}

static enum status counts_differ(const char *path, const int lines[AXES], int rows, int columns,
                                 struct error *error)
{
    return error_set(
        error, STATUS_NOT_FOUND,
        "%s: the sheet in the photo shows %d rows x %d columns of cells, but %d x %d "
        "were given; check --names, --rows and --columns and that the photo stands "
        "upright and shows the whole sheet, say with --turned how it lies, or give the "
        "chart's corners with --chart-at",
        path, lines[AXIS_ROW], lines[AXIS_COLUMN], rows, columns);
}

/* Whether the sheet, turned so, shows the rows and columns that are wanted. */
static bool is_as_wanted(const int lines[AXES], int turns, int rows, int columns)
{
    return lines[turns % 2 ? AXIS_COLUMN : AXIS_ROW] == rows &&
           lines[turns % 2 ? AXIS_ROW : AXIS_COLUMN] == columns;
}

/* Whether the best way can be trusted: it agrees with the photo, and no other does as well. */
static enum status judge(const char *path, const struct search *search, struct error *error)
{
    const struct chart_wanted *wanted = search->wanted;
    const struct chart_lay *best = &search->best;
    int cells = wanted->rows * wanted->columns, off = search->disagreements;

    if (off > cells)
        return counts_differ(path, search->seen->lines, wanted->rows, wanted->columns, error);
    if (off > DISAGREE_MIN && off > (int)(DISAGREE_FRACTION * cells))
        return error_set(error, STATUS_NOT_FOUND,
                         "%s: the names file does not fit the sheet: in %d of %d cells it names "
                         "an ink where the photo shows bare paper, or none where it shows ink; "
                         "check that it is this sheet's, and that the photo stands upright",
                         path, off, cells);
    if ((best->turns == 0 || wanted->turned) &&
        is_as_wanted(search->seen->lines, best->turns, wanted->rows, wanted->columns))
        return STATUS_OK;
    if (search->next < off + CHART_NAMES_MARGIN)
        return counts_differ(path, search->seen->lines, wanted->rows, wanted->columns, error);
    return STATUS_OK;
}

enum status chart_names_lay(const char *path, const struct ink_seen *seen,
                            const struct chart_wanted *wanted, struct chart_lay *lay,
                            struct error *error)
{
    struct search search = {seen, wanted, {0}, CHART_CELLS_MAX, CHART_CELLS_MAX};
    int turns = wanted->turned ? wanted->turns : 0;
    int rows = wanted->rows ? wanted->rows : seen->lines[turns % 2 ? AXIS_COLUMN : AXIS_ROW];
    int columns =
        wanted->columns ? wanted->columns : seen->lines[turns % 2 ? AXIS_ROW : AXIS_COLUMN];
    enum status status;

    if (wanted->named) {
        try_all(&search);
        status = judge(path, &search, error);
        *lay = search.best;
        return status;
    }
    *lay = (struct chart_lay){.turns = turns};
    return is_as_wanted(seen->lines, turns, rows, columns)
               ? STATUS_OK
               : counts_differ(path, seen->lines, rows, columns, error);
}
