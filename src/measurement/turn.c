#include "turn.h"

#define TURN_MARGIN 2 /* cells by which names must fit better turned to be thought so */

/* Cells in which names and readings disagree about ink if the sheet lies half a turn on, or not. */
static int disagreements(const bool *named, const struct measured_chart *chart, bool turned)
{
    int cells = chart->pose.rows * chart->pose.columns, count = 0;

    for (int i = 0; i < cells; i++)
        count +=
            chart->readings[i].found == (named[turned ? cells - 1 - i : i] ? CELL_EMPTY : CELL_INK);
    return count;
}

enum status turn_check(const struct photo *photo, const bool *named,
                       const struct measured_chart *chart, struct error *error)
{
    int upright = named ? disagreements(named, chart, false) : 0;
    int turned = named ? disagreements(named, chart, true) : 0;

    if (turned + TURN_MARGIN > upright)
        return STATUS_OK;
    return error_set(error, STATUS_NOT_FOUND,
                     "%s: the names fit the sheet better half a turn on: as it was read, %d cells "
                     "are named but blank or inked but unnamed, turned %d would be; turn the photo "
                     "upright, or mend the names",
                     photo->path, upright, turned);
}
