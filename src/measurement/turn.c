#include "turn.h"

#include "base/memory.h"
#include "location/chart_names.h"

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

enum status turn_check(const struct photo *photo, const bool *named,
                       const struct measured_chart *chart, struct error *error)
{
    const struct chart_wanted wanted = {chart->pose.rows, chart->pose.columns, named, 0, false};
    struct ink_seen seen;
    int upright, turned;
    enum status status = named ? ink_read(chart, &seen, error) : STATUS_OK;

    if (status || !named)
        return status;
    upright = chart_names_disagree(&seen, &wanted, &(struct chart_lay){.turns = 0});
    turned = chart_names_disagree(&seen, &wanted, &(struct chart_lay){.turns = 2});
    free(seen.places);
    if (turned + CHART_NAMES_MARGIN > upright)
        return STATUS_OK;
    return error_set(error, STATUS_NOT_FOUND,
                     "%s: the names fit the sheet better half a turn on: as it was read, %d cells "
                     "are named but blank or inked but unnamed, turned %d would be; turn the photo "
                     "upright, or mend the names",
                     photo->path, upright, turned);
}
