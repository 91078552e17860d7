#include "photo.h"

#include "basics.h"
#include "camera.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <lcms2.h>

/*
 * EXIF by hand, so that the program's EXIF library is checked by something
 * else. Source: CIPA DC-008 (Exif 2.32), the tags' numbers from memory.
 */
enum { TYPE_ASCII = 2, TYPE_SHORT = 3, TYPE_LONG = 4, ENTRY_SIZE = 12 };

enum {
    TAG_MAKE = 0x010f,
    TAG_MODEL = 0x0110,
    TAG_ORIENTATION = 0x0112,
    TAG_EXIF_DIRECTORY = 0x8769,
    TAG_TIME_ORIGINAL = 0x9003,
    TAG_OFFSET_ORIGINAL = 0x9011
};

struct writer {
    unsigned char *bytes;
    size_t entry; /* where the next entry goes */
    size_t data;  /* where the next long value goes */
};

static void put(unsigned char *bytes, unsigned long value, int size)
{
    for (int i = 0; i < size; i++)
        bytes[i] = (unsigned char)(value >> (8 * i));
}

static void put_entry(struct writer *writer, unsigned tag, unsigned type, unsigned long count,
                      unsigned long value)
{
    unsigned char *entry = writer->bytes + writer->entry;

    put(entry, tag, 2);
    put(entry + 2, type, 2);
    put(entry + 4, count, 4);
    put(entry + 8, value, 4);
    writer->entry += ENTRY_SIZE;
}

/* Strings here are always longer than the 4 bytes that fit in the entry. */
static void put_string(struct writer *writer, unsigned tag, const char *string)
{
    size_t size = strlen(string) + 1;

    memcpy(writer->bytes + writer->data, string, size);
    put_entry(writer, tag, TYPE_ASCII, size, writer->data);
    writer->data += size + size % 2;
}

static void put_directory_start(struct writer *writer, size_t entries)
{
    put(writer->bytes + writer->entry, entries, 2);
    writer->entry += 2;
}

void photo_time(const struct plan *plan, char time[PHOTO_TIME_SIZE])
{
    snprintf(time, PHOTO_TIME_SIZE, "2026:05:%02d %02d:%02d:%02d", 1 + plan->seed % 28,
             9 + plan->seed % 9, plan->seed * 7 % 60, plan->seed * 13 % 60);
}

static size_t exif_make(unsigned char *bytes, const struct plan *plan)
{
    const size_t first = 8, second = first + 2 + 4 * ENTRY_SIZE + 4;
    struct writer writer = {bytes, first, second + 2 + 2 * ENTRY_SIZE + 4};
    char time[PHOTO_TIME_SIZE];

    memcpy(bytes, "II*\0", 4);
    put(bytes + 4, first, 4);
    photo_time(plan, time);
    put_directory_start(&writer, 4);
    put_string(&writer, TAG_MAKE, "Thistlewick");
    put_string(&writer, TAG_MODEL, camera_name(plan->camera));
    put_entry(&writer, TAG_ORIENTATION, TYPE_SHORT, 1, (unsigned long)plan->orientation);
    put_entry(&writer, TAG_EXIF_DIRECTORY, TYPE_LONG, 1, second);
    writer.entry = second;
    put_directory_start(&writer, plan->dated ? 2 : 0);
    if (plan->dated) {
        put_string(&writer, TAG_TIME_ORIGINAL, time);
        put_string(&writer, TAG_OFFSET_ORIGINAL, "+01:00");
    }
    return writer.data;
}

/* The profile of sRGB, or of P3 primaries with the same white and curve. */
static void profile_make(struct attachments *attachments, int kind)
{
    enum { DATE_OFFSET = 24, DATE_SIZE = 12 };
    static const unsigned char date[DATE_SIZE] = {7, 234, 0, 1, 0, 1}; /* 2026-01-01, always */
    const cmsCIExyY white = {0.3127, 0.3290, 1.0};
    const cmsCIExyYTRIPLE p3 = {{0.680, 0.320, 1.0}, {0.265, 0.690, 1.0}, {0.150, 0.060, 1.0}};
    const cmsCIExyYTRIPLE srgb = {{0.640, 0.330, 1.0}, {0.300, 0.600, 1.0}, {0.150, 0.060, 1.0}};
    double parameters[5] = {2.4, 1.0 / 1.055, 0.055 / 1.055, 1.0 / 12.92, 0.04045};
    cmsToneCurve *curve = cmsBuildParametricToneCurve(NULL, 4, parameters);
    cmsToneCurve *curves[3] = {curve, curve, curve};
    cmsHPROFILE profile = cmsCreateRGBProfile(&white, kind == PROFILE_P3 ? &p3 : &srgb, curves);
    cmsUInt32Number size = 0;

    if (!profile || !cmsSaveProfileToMem(profile, NULL, &size))
        fail("no profile could be made");
    attachments->profile = allocate(size, 1);
    cmsSaveProfileToMem(profile, attachments->profile, &size);
    memcpy(attachments->profile + DATE_OFFSET, date, DATE_SIZE);
    attachments->profile_size = size;
    cmsCloseProfile(profile);
    cmsFreeToneCurve(curve);
}

void attachments_make(struct attachments *attachments, const struct plan *plan)
{
    memset(attachments, 0, sizeof *attachments);
    attachments->exif_size = exif_make(attachments->exif, plan);
    if (plan->profile == PROFILE_SRGB || plan->profile == PROFILE_P3)
        profile_make(attachments, plan->profile);
}

void attachments_release(struct attachments *attachments)
{
    free(attachments->profile);
    memset(attachments, 0, sizeof *attachments);
}
