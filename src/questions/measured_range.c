#include "questions/measured_range.h"

#include "base/memory.h"

#include <stdlib.h>
#include <string.h>

#define THIN_ENDING " (thin)"

static bool has_colour(const struct range_ink *ink)
{
    return ink->basis != COLOUR_WET_ONLY && ink->basis != COLOUR_NONE;
}

static bool is_thin(const struct range_ink *ink)
{
    size_t length = strlen(ink->name), ending = strlen(THIN_ENDING);

    return length > ending && strcmp(ink->name + length - ending, THIN_ENDING) == 0;
}

static enum status part_range(struct measured_range *measured, struct error *error)
{
    size_t count = measured->range.count;

    measured->inks = memory_array(count, sizeof *measured->inks, "the range", error);
    measured->thins = memory_array(count, sizeof *measured->thins, "the range", error);
    if (!measured->inks || !measured->thins)
        return error->status;
    for (size_t i = 0; i < count; i++) {
        const struct range_ink *ink = &measured->range.inks[i];

        if (!has_colour(ink))
            measured->without++;
        else if (is_thin(ink))
            measured->thins[measured->thin_count++] = *ink;
        else
            measured->inks[measured->count++] = *ink;
    }
    return STATUS_OK;
}

enum status measured_range_load(const char *given, struct measured_range *measured,
                                struct error *error)
{
    char path[INVENTORY_PATH_SIZE];
    struct inventory *inventory = NULL;
    enum status status = inventory_location(given, path, error);

    memset(measured, 0, sizeof *measured);
    if (!status)
        status = inventory_open(path, INVENTORY_READ, &inventory, error);
    if (!status)
        status = range_load(inventory, NULL, &measured->range, error);
    if (!status)
        status = part_range(measured, error);
    inventory_close(inventory);
    if (status)
        measured_range_release(measured);
    return status;
}

void measured_range_release(struct measured_range *measured)
{
    free(measured->inks);
    free(measured->thins);
    range_release(&measured->range);
    memset(measured, 0, sizeof *measured);
}

/* --- finding -------------------------------------------------------------------------------- */

enum status measured_range_find(const struct measured_range *measured, const char *name,
                                const struct range_ink **ink, struct error *error)
{
    const struct range_ink *found = NULL;
    enum status status = range_find(&measured->range, name, &found, error);

    if (status)
        return status;
    if (found->basis == COLOUR_NONE)
        return error_set(error, STATUS_INVENTORY,
                         "'%s' was never measured, so its colour is not known; measure a photo of "
                         "its swatch",
                         found->name);
    if (found->basis == COLOUR_WET_ONLY)
        return error_set(error, STATUS_INVENTORY,
                         "'%s' was measured only while wet, which is not the colour it keeps; "
                         "measure its swatch again once it is dry",
                         found->name);
    *ink = found;
    for (size_t i = 0; i < measured->count; i++) /* the one among those that have a colour */
        if (strcmp(measured->inks[i].name, found->name) == 0)
            *ink = &measured->inks[i];
    return STATUS_OK;
}

const struct range_ink *measured_range_thin(const struct measured_range *measured,
                                            const struct range_ink *ink)
{
    size_t length = strlen(ink->name);

    for (size_t i = 0; i < measured->thin_count; i++) {
        const char *name = measured->thins[i].name;

        if (strncmp(name, ink->name, length) == 0 && strcmp(name + length, THIN_ENDING) == 0)
            return &measured->thins[i];
    }
    return NULL;
}
