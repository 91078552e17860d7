#include "palette_cgats.h"

#include "base/memory.h"

#include <lcms2.h>

#include <math.h>
#include <stdlib.h>

static const char *const fields[] = {"SAMPLE_ID", "SAMPLE_NAME", "LAB_L",   "LAB_A",
                                     "LAB_B",     "STDEV_L",     "STDEV_A", "STDEV_B"};
enum { FIELDS = sizeof fields / sizeof *fields, FIELD_LAB = 2, FIELD_STDEV = 5 };

static bool put_head(cmsHANDLE table, size_t count)
{
    bool ok = cmsIT8SetSheetType(table, "CGATS.17") &&
              cmsIT8SetPropertyStr(table, "ORIGINATOR", "woad") &&
              cmsIT8SetPropertyStr(table, "DESCRIPTOR", "colours of inks measured from photos") &&
              cmsIT8SetPropertyMulti(table, "WEIGHTING_FUNCTION", "ILLUMINANT", "D50") &&
              cmsIT8SetPropertyMulti(table, "WEIGHTING_FUNCTION", "OBSERVER", "2degree") &&
              cmsIT8SetPropertyDbl(table, "NUMBER_OF_SETS", (double)count) &&
              cmsIT8SetPropertyDbl(table, "NUMBER_OF_FIELDS", FIELDS);

    for (int i = 0; ok && i < FIELDS; i++)
        ok = cmsIT8SetDataFormat(table, i, fields[i]);
    return ok;
}

/* A field holds no quotation mark. */
static void quotable(const char *name, char *words, size_t size)
{
    size_t length = 0;

    for (; *name && length + 1 < size; name++)
        words[length++] = *name == '"' ? '\'' : *name;
    words[length] = '\0';
}

static bool put_ink(cmsHANDLE table, const struct range_ink *ink, int row)
{
    const double lab[3] = {ink->lab.L, ink->lab.a, ink->lab.b};
    char number[16], name[RANGE_NAME_SIZE];
    bool ok;

    snprintf(number, sizeof number, "%d", row + 1);
    quotable(ink->name, name, sizeof name);
    ok = cmsIT8SetDataRowCol(table, row, 0, number) && cmsIT8SetDataRowCol(table, row, 1, name);
    for (int i = 0; ok && i < 3; i++) {
        double variance = ink->covariance_shared[4 * i] + ink->covariance_own[4 * i];

        ok = cmsIT8SetDataRowColDbl(table, row, FIELD_LAB + i, lab[i]) &&
             cmsIT8SetDataRowColDbl(table, row, FIELD_STDEV + i, sqrt(variance));
    }
    return ok;
}

static bool put_table(cmsHANDLE table, FILE *out)
{
    cmsUInt32Number size = 0;
    char *bytes;
    bool ok = cmsIT8SaveToMem(table, NULL, &size);

    bytes = ok ? malloc(size) : NULL;
    ok = bytes && cmsIT8SaveToMem(table, bytes, &size);
    if (ok)
        fputs(bytes, out);
    free(bytes);
    return ok;
}

enum status palette_cgats_write(const struct ordered_range *ordered, FILE *out, struct error *error)
{
    const struct order *order = &ordered->order;
    size_t count = ordered->measured.count;
    cmsHANDLE table = cmsIT8Alloc(NULL);
    bool ok = table && put_head(table, count);

    if (ok)
        cmsIT8DefineDblFormat(table, "%.4f");
    for (size_t i = 0; ok && i < count; i++)
        ok = put_ink(table, &ordered->measured.inks[order->inks[i]], (int)i);
    ok = ok && put_table(table, out);
    if (table)
        cmsIT8Free(table);
    return ok ? STATUS_OK
              : error_set(error, STATUS_MEMORY, "out of memory: no room for the range as CGATS");
}
