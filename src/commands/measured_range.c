#include "measured_range.h"

#include "base/memory.h"

#include <stdlib.h>
#include <string.h>

#define THIN_ENDING " (thin)"
#define NAMED_MAX 6 /* inks named in one note */

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

/* --- notes ---------------------------------------------------------------------------------- */

/* Name the inks whose colour has one basis, as many as a person reads. */
static void note_basis(const struct measured_range *measured, enum colour_basis basis,
                       const char *what, FILE *notes)
{
    size_t found = 0;

    for (size_t i = 0; i < measured->range.count; i++)
        found += measured->range.inks[i].basis == basis;
    if (!found)
        return;
    fprintf(notes, "woad: %zu ink%s %s: ", found, found == 1 ? "" : "s", what);
    for (size_t i = 0, named = 0; i < measured->range.count && named < NAMED_MAX; i++)
        if (measured->range.inks[i].basis == basis)
            fprintf(notes, "%s%s", named++ ? ", " : "", measured->range.inks[i].name);
    fprintf(notes, "%s\n", found > NAMED_MAX ? ", ..." : "");
}

void measured_range_note(const struct measured_range *measured, FILE *notes)
{
    note_basis(measured, COLOUR_NONE, "left out, never measured", notes);
    note_basis(measured, COLOUR_WET_ONLY, "left out, measured only while wet", notes);
    note_basis(measured, COLOUR_DRY_END, "read only while drying, taken as its fit says it dries",
               notes);
    note_basis(measured, COLOUR_AGE_UNKNOWN, "taken as dry, though nobody told when inked", notes);
    if (!measured->range.count)
        fputs("woad: the inventory holds no ink yet; 'woad measure PHOTO' adds them\n", notes);
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
        if (strcmp(measured->inks[i].name, name) == 0)
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
