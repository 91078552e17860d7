#include "questions/families.h"

#include "analysis/description.h"
#include "base/memory.h"
#include "base/utf8.h"
#include "files/csv.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define FILE_BYTES_MAX ((size_t)1024 * 1024)
#define NO_FAMILY ((size_t)-1)

void families_release(struct families *families)
{
    free(families->of_ink);
    memset(families, 0, sizeof *families);
}

/* The family of a name, added if there is none yet; NO_FAMILY if there is no room. */
static size_t family_named(struct families *families, const char *name)
{
    size_t family = 0;

    while (family < families->count && !utf8_same(families->names[family], name))
        family++;
    if (family < families->count)
        return family;
    if (families->count == FAMILIES_MAX)
        return NO_FAMILY;
    snprintf(families->names[families->count], FAMILY_NAME_SIZE, "%s", name);
    return families->count++;
}

static enum status check_name(const char *path, size_t line, const char *name, struct error *error)
{
    if (name[0] && strlen(name) < FAMILY_NAME_SIZE)
        return STATUS_OK;
    return error_set(error, STATUS_FORMAT,
                     "%s: row %zu: the family is %s; write an ink, a comma, and its family", path,
                     line, name[0] ? "too long a name" : "missing");
}

/* An ink that has no colour yet may stand in the file: it is in no order either. */
static enum status place_ink(const struct measured_range *measured, const char *name, size_t family,
                             size_t *of_ink, struct error *error)
{
    const struct range_ink *ink = NULL;
    enum status status = range_find(&measured->range, name, &ink, error);

    for (size_t i = 0; !status && i < measured->count; i++)
        if (strcmp(measured->inks[i].name, ink->name) == 0)
            of_ink[i] = family;
    return status;
}

static enum status take_line(const char *path, struct csv *csv, size_t line,
                             const struct measured_range *measured, struct families *families,
                             struct error *error)
{
    char *ink = csv_field(csv, line, 1), *name = csv_field(csv, line, 2);
    struct error inner;
    enum status status;
    size_t family;

    csv_tidy(ink);
    csv_tidy(name);
    if (!ink[0] || (line == 1 && strcmp(ink, "ink") == 0))
        return STATUS_OK;
    status = check_name(path, line, name, error);
    if (status)
        return status;
    family = family_named(families, name);
    if (family == NO_FAMILY)
        return error_set(error, STATUS_FORMAT, "%s: row %zu: more than %d families; join some",
                         path, line, FAMILIES_MAX - FAMILY_COUNT);
    status = place_ink(measured, ink, family, families->of_ink, &inner);
    return status ? error_set(error, status, "%s: row %zu: %s", path, line, inner.message)
                  : STATUS_OK;
}

static enum status read_families(const char *path, const struct measured_range *measured,
                                 struct families *families, struct error *error)
{
    const struct csv_source source = {path, "list of families", FILE_BYTES_MAX};
    struct csv csv = {0};
    enum status status = csv_read(&source, &csv, error);

    for (size_t line = 1; !status && line <= csv.line_count; line++)
        status = take_line(path, &csv, line, measured, families, error);
    if (!status && families->count > FAMILIES_MAX - FAMILY_COUNT)
        status = error_set(error, STATUS_FORMAT, "%s: more than %d families; join some", path,
                           FAMILIES_MAX - FAMILY_COUNT);
    csv_release(&csv);
    return status;
}

/* The rest as measured, in the usual order; families that no ink has are not begun. */
static void sort_rest(const struct measured_range *measured, struct families *families)
{
    for (int family = 0; family < FAMILY_COUNT; family++)
        for (size_t i = 0; i < measured->count; i++)
            if (families->of_ink[i] == NO_FAMILY &&
                (int)description_of(measured->inks[i].lab).family == family)
                families->of_ink[i] =
                    family_named(families, description_family_name((enum colour_family)family));
}

enum status families_create(const struct measured_range *measured, const char *path,
                            struct families *families, struct error *error)
{
    enum status status = STATUS_OK;

    memset(families, 0, sizeof *families);
    families->of_ink =
        memory_array(measured->count + 1, sizeof *families->of_ink, "the families", error);
    if (!families->of_ink)
        return error->status;
    for (size_t i = 0; i < measured->count; i++)
        families->of_ink[i] = NO_FAMILY;
    if (path)
        status = read_families(path, measured, families, error);
    if (!status)
        sort_rest(measured, families);
    if (status)
        families_release(families);
    return status;
}
