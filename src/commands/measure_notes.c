#include "measure.h"

#include "files/clock.h"
#include "measurement/words.h"

#define LISTED_MAX 12 /* cells named in one note; the table has them all */

static const char *const time_source_words[] = {[PHOTO_TIME_NONE] = "",
                                                [PHOTO_TIME_EXIF] = "the photo's own time",
                                                [PHOTO_TIME_FILE] = "the file's time",
                                                [PHOTO_TIME_GIVEN] = "as told"};

void measure_note_photo(const struct photo *photo, FILE *notes)
{
    char taken[CLOCK_TEXT_SIZE];

    clock_format(&photo->taken, taken);
    if (taken[0])
        fprintf(notes, "%s: taken %s (%s%s)\n", photo->path, taken,
                time_source_words[photo->taken.source],
                photo->taken.offset_known ? "" : "; no offset is told, this machine's is taken");
    else
        fprintf(notes, "%s: when it was taken is not known; tell it with --at\n", photo->path);
    if (photo->profile_assumed)
        fprintf(notes, "%s: carries no colour profile; taken as sRGB\n", photo->path);
}

static void note_counts(const char *path, const struct measurement *measurement, FILE *notes)
{
    int count = measurement->chart.rows * measurement->chart.columns;
    int found[] = {[CELL_INK] = 0, [CELL_EMPTY] = 0, [CELL_UNREADABLE] = 0};

    for (int i = 0; i < count; i++)
        found[measurement->readings[i].found]++;
    fprintf(notes, "%s: %d rows of %d cells: %d with ink, %d empty, %d unreadable\n", path,
            measurement->chart.rows, measurement->chart.columns, found[CELL_INK], found[CELL_EMPTY],
            found[CELL_UNREADABLE]);
}

static bool is_flagged(const struct names *names, const struct reading *reading)
{
    (void)names;
    return reading->flags != 0;
}

static bool looks_empty(const struct names *names, const struct reading *reading)
{
    return names->cells && reading->found == CELL_EMPTY &&
           names_at(names, reading->row, reading->column)->ink[0];
}

static bool has_no_name(const struct names *names, const struct reading *reading)
{
    return names->cells && reading->found == CELL_INK &&
           !names_at(names, reading->row, reading->column)->ink[0];
}

/* One line about the cells for which `holds` is true; none if there are none. */
static void note_cells(const struct measure_run *run, const char *path,
                       const struct measurement *measurement, const char *what,
                       bool (*holds)(const struct names *names, const struct reading *reading),
                       FILE *notes)
{
    int count = measurement->chart.rows * measurement->chart.columns;
    int listed = 0;
    char label[NAMES_LABEL_SIZE], flags[WORDS_FLAGS_SIZE];

    for (int i = 0; i < count; i++) {
        const struct reading *reading = &measurement->readings[i];

        if (!holds(&run->names, reading) || ++listed > LISTED_MAX)
            continue;
        names_label(reading->row, reading->column, label);
        words_of_flags(reading->flags, flags);
        if (listed == 1)
            fprintf(notes, "%s: %s:", path, what);
        fprintf(notes, "%s %s%s%s", listed > 1 ? "," : "", label, flags[0] ? " " : "", flags);
    }
    if (listed > LISTED_MAX)
        fprintf(notes, " and %d more", listed - LISTED_MAX);
    if (listed)
        fputc('\n', notes);
}

void measure_note_measurement(const struct measure_run *run, const char *path,
                              const struct measurement *measurement, FILE *notes)
{
    const struct correction_quality *quality = &measurement->quality;

    fprintf(notes,
            "%s: card: %d of %d patches used, %s; each predicted from the others within %.2f on "
            "average, %.2f at worst (delta E 2000)\n",
            path, quality->patches_used, CARD_PATCHES, quality->method, quality->left_out_mean,
            quality->left_out_max);
    note_counts(path, measurement, notes);
    note_cells(run, path, measurement, "flagged", is_flagged, notes);
    note_cells(run, path, measurement, "named, but looks empty", looks_empty, notes);
    note_cells(run, path, measurement, "has ink, but no name", has_no_name, notes);
    if (run->settings.check)
        fprintf(notes, "%s: the check picture is %s\n", path, run->settings.check);
    else
        fprintf(notes, "%s: --check FILE.png draws what was read, to see that it is right\n", path);
}
