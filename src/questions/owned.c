#include "owned.h"

#include "base/memory.h"
#include "files/csv.h"
#include "prices.h"

#include <stdlib.h>

#define LIST_BYTES_MAX ((size_t)1024 * 1024)

enum status owned_find(const struct measured_range *measured, const char *name, size_t *place,
                       struct error *error)
{
    const struct range_ink *ink = NULL;
    enum status status = measured_range_find(measured, name, &ink, error);

    if (status)
        return status;
    if (ink < measured->inks || ink >= measured->inks + measured->count)
        return error_set(error, STATUS_INVENTORY,
                         "'%s' is the thin part of an ink, not one to own or buy", name);
    *place = (size_t)(ink - measured->inks);
    return STATUS_OK;
}

/* Put the file's name before what is wrong with a name in it. */
static enum status blame_file(const char *path, size_t line, struct error *error)
{
    struct error inner = *error;

    return error_set(error, inner.status, "%s: row %zu: %s", path, line, inner.message);
}

enum status owned_read(const char *path, const struct measured_range *measured, bool *owned,
                       struct error *error)
{
    const struct csv_source source = {path, "list of inks owned", LIST_BYTES_MAX};
    struct csv csv = {0};
    enum status status = csv_read(&source, &csv, error);

    for (size_t line = 1; !status && line <= csv.line_count; line++) {
        char *name = csv_field(&csv, line, 1);
        size_t place = 0;

        csv_tidy(name);
        if (!name[0] || (line == 1 && prices_is_header(&csv)))
            continue;
        status = owned_find(measured, name, &place, error);
        if (status)
            blame_file(path, line, error);
        else
            owned[place] = true;
    }
    csv_release(&csv);
    return status;
}

enum status owned_keep(const char *path, struct measured_range *measured, struct error *error)
{
    bool *owned = memory_array(measured->count + 1, sizeof *owned, "the inks owned", error);
    size_t kept = 0;
    enum status status = owned ? owned_read(path, measured, owned, error) : error->status;

    for (size_t i = 0; !status && i < measured->count; i++)
        if (owned[i])
            measured->inks[kept++] = measured->inks[i];
    if (!status && !kept)
        status = error_set(error, STATUS_INVENTORY,
                           "%s names no ink; a name on each line is wanted", path);
    if (!status)
        measured->count = kept;
    free(owned);
    return status;
}
