#include "turn.h"

#include "base/memory.h"
#include "location/chart_names.h"

#include <limits.h>
#include <stdlib.h>

/* The contents of the cells as read, as location looks for them in quick looks. */
static enum status ink_read(const struct measured_chart *chart, struct ink_seen *seen,
                            struct error *error)
{
    int cells = chart->pose.rows * chart->pose.columns;

    *seen = (struct ink_seen){{chart->pose.columns, chart->pose.rows}, 0, NULL};
    seen->places = memory_array((size_t)cells, sizeof *seen->places, "ink", error);
    for (int i = 0; seen->places && i < cells; i++)
        seen->places[i] = chart->readings[i].found == CELL_INK     ? INK_SEEN
                          : chart->readings[i].found == CELL_EMPTY ? INK_NONE
                                                                   : INK_UNSURE;
    return seen->places ? STATUS_OK : error->status;
}

/* How well the names agree with what is seen in the ways a sheet of this shape can lie. */
static void count_ways(const struct ink_seen *seen, const struct chart_wanted *wanted,
                       int disagree[4])
{
    for (int turns = 0; turns < 4; turns++) {
        bool fits = turns % 2 == 0 || wanted->rows == wanted->columns;

        disagree[turns] =
            fits ? chart_names_disagree(seen, wanted, &(struct chart_lay){.turns = turns})
                 : INT_MAX;
    }
}

enum status turn_check(const struct photo *photo, const bool *named, struct measured_chart *chart,
                       struct error *error)
{
    const struct chart_wanted wanted = {
        .rows = chart->pose.rows, .columns = chart->pose.columns, .named = named};
    struct ink_seen seen;
    int disagree[4];
    enum status status = named ? ink_read(chart, &seen, error) : STATUS_OK;

    if (status || !named)
        return status;
    count_ways(&seen, &wanted, disagree);
    free(seen.places);
    chart->way_told = true;
    for (int turns = 1; turns < 4; turns++)
        chart->way_told = chart->way_told && disagree[turns] >= disagree[0] + CHART_NAMES_MARGIN;
    if (disagree[2] + CHART_NAMES_MARGIN > disagree[0])
        return STATUS_OK;
    return error_set(error, STATUS_NOT_FOUND,
                     "%s: the names fit the sheet better half a turn on: as it was read, %d cells "
                     "are named but blank or inked but unnamed, turned %d would be; turn the photo "
                     "upright, say with --turned how the sheet lies, or mend the names",
                     photo->path, disagree[0], disagree[2]);
}
