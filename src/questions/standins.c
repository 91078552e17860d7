#include "questions/standins.h"

#include "base/memory.h"
#include "files/names.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* Room for so many more. */
static enum status make_room(struct standins *standins, size_t more, struct error *error)
{
    struct standin *grown =
        memory_array(standins->count + more, sizeof *grown, "the stand-ins", error);

    if (!grown)
        return error->status;
    if (standins->count)
        memcpy(grown, standins->items, standins->count * sizeof *grown);
    free(standins->items);
    standins->items = grown;
    return STATUS_OK;
}

/* Add what was found; `asked` NULL: of each pair the first was asked for. */
static enum status add(const struct measured_range *measured, const struct range_ink *asked,
                       const struct near_matches *matches, struct standins *standins,
                       struct error *error)
{
    enum status status = make_room(standins, matches->count, error);

    for (size_t i = 0; !status && i < matches->count; i++) {
        const struct near_match *match = &matches->items[i];

        standins->items[standins->count++] =
            (struct standin){asked ? asked : &measured->inks[match->first],
                             &measured->inks[match->second], match->delta_e};
    }
    standins->within += matches->within;
    return status;
}

enum status standins_of(const struct measured_range *measured, const struct range_ink *asked,
                        const struct near_wish *wish, struct standins *standins,
                        struct error *error)
{
    struct near_matches matches = {0};
    enum status status = near_find(asked, measured->inks, measured->count, wish, &matches, error);

    if (!status)
        status = add(measured, asked, &matches, standins, error);
    near_release(&matches);
    return status;
}

enum status standins_in_range(const struct measured_range *measured, double within,
                              struct standins *standins, struct error *error)
{
    struct near_matches matches = {0};
    enum status status = near_pairs(measured->inks, measured->count, within, &matches, error);

    if (!status)
        status = add(measured, NULL, &matches, standins, error);
    near_release(&matches);
    return status;
}

static struct range_ink ink_of_cell(const struct reading *reading)
{
    struct range_ink ink = {.basis = COLOUR_AGE_UNKNOWN,
                            .lab = reading->lab,
                            .u95 = reading->u95,
                            .photos = {{.photo = -1, .weight = 1}}, /* none that is stored */
                            .photo_count = 1};
    char label[NAMES_LABEL_SIZE];

    names_label(reading->row, reading->column, label);
    snprintf(ink.name, sizeof ink.name, "%s", label);
    memcpy(ink.covariance_own, reading->covariance_own, sizeof ink.covariance_own);
    memcpy(ink.covariance_shared, reading->covariance_shared, sizeof ink.covariance_shared);
    return ink;
}

enum status standins_of_cells(const struct measured_range *measured,
                              const struct measured_chart *chart, const struct near_wish *wish,
                              struct standins *standins, struct error *error)
{
    int cells = chart->pose.rows * chart->pose.columns;
    enum status status = STATUS_OK;

    standins->cells = memory_array((size_t)cells, sizeof *standins->cells, "the cells", error);
    if (!standins->cells)
        return error->status;
    for (int i = 0; !status && i < cells; i++) {
        struct range_ink *asked = &standins->cells[standins->cell_count];

        if (chart->readings[i].found != CELL_INK)
            continue;
        standins->cell_count++;
        *asked = ink_of_cell(&chart->readings[i]);
        status = standins_of(measured, asked, wish, standins, error);
    }
    return status;
}

void standins_release(struct standins *standins)
{
    free(standins->items);
    free(standins->cells);
    memset(standins, 0, sizeof *standins);
}
