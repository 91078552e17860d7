#include "measure.h"

#include "values/calendar.h"
#include "output/card_report.h"
#include "output/fault_words.h"

#include <math.h>
#include <stdlib.h>

/* From here on a print's scale is said: it is found to 0.5 %, and "fit to page" takes 2 to 6 %
 * (common practice, no source). */
#define SCALE_OFF 0.01
#define LISTED_MAX 12 /* cells named in one note; the table has them all */

static const char *const time_source_words[] = {[PHOTO_TIME_NONE] = "",
                                                [PHOTO_TIME_EXIF] = "the photo's own time",
                                                [PHOTO_TIME_FILE] = "the file's time",
                                                [PHOTO_TIME_GIVEN] = "as told"};

/* A photo whose time nobody knows is of no use to what asks when ink was dry. */
static void note_photo(const struct photo *photo, bool more, FILE *notes)
{
    char taken[CALENDAR_TEXT_SIZE];

    calendar_format(&photo->taken, taken);
    if (!taken[0])
        fprintf(notes, "%s: when it was taken is not known; tell it with --at\n", photo->path);
    else if (more)
        fprintf(notes, "%s: taken %s (%s%s)\n", photo->path, taken,
                time_source_words[photo->taken.source],
                photo->taken.offset_known ? "" : ", by this machine's clock");
    if (photo->traces.time_to_come)
        fprintf(notes,
                "%s: its own time lies in the future and is not used; set the camera's clock\n",
                photo->path);
    if (photo->traces.exif_missing && more)
        fprintf(notes,
                "%s: tells no camera: a screenshot, an edited picture or a copy out of a chat? the "
                "camera's own file is better\n",
                photo->path);
    if (photo->traces.gain_map && more)
        fprintf(notes, "%s: its map to brighten the picture (HDR) is not applied\n", photo->path);
    if (photo->profile_assumed && more)
        fprintf(notes, "%s: carries no colour profile; taken as sRGB\n", photo->path);
}

static int compare_numbers(const void *a, const void *b)
{
    double x = *(const double *)a, y = *(const double *)b;

    return (x > y) - (x < y);
}

/* Half of the inks are surer than this. */
static double usual_u95(const struct measured_chart *chart)
{
    double values[CHART_CELLS_MAX];
    int count = 0;

    for (int i = 0; i < chart->pose.rows * chart->pose.columns && count < CHART_CELLS_MAX; i++)
        if (chart->readings[i].found == CELL_INK)
            values[count++] = chart->readings[i].u95;
    qsort(values, (size_t)count, sizeof *values, compare_numbers);
    return count ? values[count / 2] : 0;
}

/* The verdict on a photo of one chart, in one line. */
static void note_verdict(const char *path, const struct measured_chart *chart, FILE *notes)
{
    int found[] = {[CELL_INK] = 0, [CELL_EMPTY] = 0, [CELL_UNREADABLE] = 0};
    char words[FAULT_WORDS_SIZE];

    for (int i = 0; i < chart->pose.rows * chart->pose.columns; i++)
        found[chart->readings[i].found]++;
    fault_words_verdict_line(&chart->faults, words);
    fprintf(notes,
            "%s: %s (%d rows x %d columns of cells: %d with ink, %d empty, %d unreadable; half of "
            "the inks within %.1f)\n",
            path, words, chart->pose.rows, chart->pose.columns, found[CELL_INK], found[CELL_EMPTY],
            found[CELL_UNREADABLE], usual_u95(chart));
}

/* The faults that the verdict does not name. */
static void note_faults(const char *path, const struct faults *faults, FILE *notes)
{
    char words[FAULT_WORDS_SIZE];

    for (int i = 0; i < FAULTS; i++)
        if (faults->of[i].found && i != (int)faults_worst(faults)) {
            fault_words_of((enum fault_kind)i, &faults->of[i], words);
            fprintf(notes, "%s: %s\n", path, words);
        }
}

/* What is asked of a cell before it is listed in a note. */
struct cell_question {
    const char *what; /* the note's words */
    unsigned flag;    /* 0: any */
    int found;        /* -1: any */
    bool ask_name;    /* whether the names file gives it a name, and then: */
    bool name_wanted;
    bool always; /* said without --more */
};

static const struct cell_question questions[] = {
    {"clipped, a channel at the end of its range", FLAG_CLIPPED, -1, false, false, false},
    {"glare on", FLAG_GLARE, -1, false, false, false},
    {"shadow over", FLAG_SHADOW, -1, false, false, false},
    {"uneven", FLAG_UNEVEN, -1, false, false, false},
    {"small, few pixels", FLAG_SMALL, -1, false, false, false},
    {"outside the colours the card supports", FLAG_OUTSIDE, -1, false, false, false},
    {"unreadable: too little seen of it, too near the paper's colour in this light, or too unsure",
     0, CELL_UNREADABLE, false, false, true},
    {"named, but looks empty", 0, CELL_EMPTY, true, true, true},
    {"has ink, but no name", 0, CELL_INK, true, false, true},
};

static bool answers(const struct cell_question *question, const struct names *names,
                    const struct reading *reading)
{
    if (question->flag && !(reading->flags & question->flag))
        return false;
    if (question->found >= 0 && (int)reading->found != question->found)
        return false;
    if (!question->ask_name)
        return true;
    return names &&
           question->name_wanted == (names_at(names, reading->row, reading->column)->ink[0] != 0);
}

/* One line about the cells that answer; none if none does. */
static void note_cells(const struct names *names, const char *path,
                       const struct measured_chart *chart, const struct cell_question *question,
                       FILE *notes)
{
    int count = chart->pose.rows * chart->pose.columns;
    int listed = 0;
    char label[NAMES_LABEL_SIZE];

    for (int i = 0; i < count; i++) {
        const struct reading *reading = &chart->readings[i];

        if (!answers(question, names, reading) || ++listed > LISTED_MAX)
            continue;
        names_label(reading->row, reading->column, label);
        if (listed == 1)
            fprintf(notes, "%s: %s: %s", path, question->what, label);
        else
            fprintf(notes, ", %s", label);
    }
    if (listed > LISTED_MAX)
        fprintf(notes, " and %d more", listed - LISTED_MAX);
    if (listed)
        fputc('\n', notes);
}

/* A card of another edition is told first: all colours rest on it. */
static void note_edition(const char *path, const struct card *card,
                         const struct correction_quality *quality, FILE *notes)
{
    if (card_report_verdict(quality) == CARD_OF_OTHER_EDITION)
        fprintf(
            notes,
            "%s: card: it looks like its other edition, whose values leave %.2f delta E 2000 "
            "instead of %.2f; if your card was made then, measure again with --again --card %s\n",
            path, quality->as_other_edition, quality->left_out_mean, card->other_edition);
}

/* Patches that were not used, and a second card, change how far the first can be trusted. */
static void note_cards(const char *path, const struct measurement *measurement, bool more,
                       FILE *notes)
{
    const struct correction_quality *quality = &measurement->quality;
    int hidden = 0, outside = 0;

    for (int i = 0; i < measurement->card.shape.patches; i++) {
        outside += measurement->card.outside[i];
        hidden += measurement->card.hidden[i] && !measurement->card.outside[i];
    }
    if (more)
        fprintf(
            notes,
            "%s: card: %d of %d patches used, %s; each predicted from the others within %.2f on "
            "average, %.2f at worst (delta E 2000)\n",
            path, quality->patches_used, quality->patches, quality->method, quality->left_out_mean,
            quality->left_out_max);
    if (outside)
        fprintf(notes, "%s: card: %d patch%s outside the photo; take in the whole card\n", path,
                outside, outside == 1 ? " lies" : "es lie");
    if (hidden)
        fprintf(notes,
                "%s: card: left out are %d patch%s without the card's colour (covered, glare, "
                "dirt)\n",
                path, hidden, hidden == 1 ? "" : "es");
    if (measurement->second_card.found)
        fprintf(notes,
                "%s: a second card lies in the photo; read through the first it is off by "
                "%.2f on average (delta E 2000)\n",
                path, measurement->second_card_error);
}

/* Which chart the notes that follow are about. */
static void note_chart(const char *path, const struct chart_pose *chart, int measured, FILE *notes)
{
    if (chart->charts > 1 && measured > 1)
        fprintf(notes, "%s: the photo shows %d charts%s; number %d:\n", path, chart->charts,
                chart->given ? "" : ", counted from the left or from above", chart->number);
    else if (chart->charts > 1)
        fprintf(notes,
                "%s: the photo shows %d charts; this is number %d, counted from the left or from "
                "above: measure another with --which, and a --chart name and --names of its own\n",
                path, chart->charts, chart->number);
}

void measure_note_chart(const struct measure_run *run, const struct measured_photo *measured,
                        int number, FILE *notes)
{
    const struct photo *photo = &measured->photo;
    const struct measurement *measurement = &measured->measurement;
    const char *path = photo->path;
    const struct measured_chart *chart = &measurement->charts[number];
    const bool more = run->settings.more;

    note_edition(path, &run->card, &measurement->quality, notes);
    note_verdict(path, chart, notes);
    note_chart(path, &chart->pose, measurement->chart_count, notes);
    note_photo(photo, more, notes);
    if (more)
        note_faults(path, &chart->faults, notes);
    if (measured->way_unknown)
        fprintf(notes,
                "%s: nothing tells which way up the sheet lies: its names begin at the top left of "
                "the photo as it stands; if they should not, say how it lies with --turned\n",
                path);
    note_cards(path, measurement, more, notes);
    for (size_t i = 0; i < sizeof questions / sizeof *questions; i++)
        if (more || questions[i].always)
            note_cells(measured_photo_names(measured, number), path, chart, &questions[i], notes);
    if (more && !run->settings.check)
        fprintf(notes, "%s: --check FILE.png draws what was read, to see that it is right\n", path);
}

/* --- printed sheets ------------------------------------------------------------------------- */

void measure_note_sheets(const struct measured_photo *photo, FILE *notes)
{
    const struct photo_sheets *sheets = &photo->sheets;
    const char *path = photo->photo.path;

    for (int i = 0; i < sheets->unknown_count; i++)
        fprintf(notes,
                "%s: its corner marks are of sheet %d, which this inventory did not print; names "
                "have to be told with --names\n",
                path, sheets->unknown[i]);
    for (int i = 0; i < sheets->count; i++)
        fprintf(notes, "%s: sheet %d ('%s', page %d), by %d of its 4 corner marks\n", path,
                sheets->items[i].number, sheets->items[i].title, sheets->items[i].page,
                sheets->poses[i].tags);
}

void measure_note_scale(const struct measured_photo *photo, double card_mm, FILE *notes)
{
    const struct photo_sheets *sheets = &photo->sheets;

    for (int i = 0; card_mm > 0 && i < sheets->count; i++) {
        double scale = photo_sheet_scale(sheets, i, &photo->measurement.card, card_mm);

        /* with a mark hidden, bent paper passes for another size */
        if (sheets->poses[i].tags == 4 && fabs(scale - 1) >= SCALE_OFF)
            fprintf(notes,
                    "%s: sheet %d was printed at %.1f %%%s; a stencil printed true to size will "
                    "not fit it\n",
                    photo->photo.path, sheets->items[i].number, 100 * scale,
                    scale < 1 ? ": 'fit to page' was on" : "");
    }
}

/* --- at the end ----------------------------------------------------------------------------- */

static const char *plural(int count)
{
    return count == 1 ? "" : "s";
}

static void note_kept(const struct measure_run *run, const struct measure_outcome *outcomes,
                      int count)
{
    int photos = 0, readings = 0;

    for (int i = 0; i < count; i++) {
        photos += outcomes[i].stored > 0;
        readings += outcomes[i].stored;
    }
    if (run->settings.dry_run)
        fprintf(stderr, "; nothing stored (--dry-run)\n");
    else
        fprintf(stderr, "; %d reading%s of %d photo%s stored in %s\n", readings, plural(readings),
                photos, plural(photos), run->inventory_path);
}

void measure_note_summary(const struct measure_run *run, const struct measure_outcome *outcomes,
                          int done, int count)
{
    int measured = 0, refused = 0;

    for (int i = 0; i < count; i++) {
        refused += outcomes[i].status != STATUS_OK;
        measured += outcomes[i].status == STATUS_OK;
    }
    measured -= count - done; /* those not come to */
    if (done < count)
        fprintf(stderr, "interrupted after %d of %d photos", done, count);
    else
        fprintf(stderr, "%d photos", count);
    fprintf(stderr, ": %d measured, %d refused", measured, refused);
    note_kept(run, outcomes, count);
    for (int i = 0; i < count; i++)
        if (outcomes[i].status)
            fprintf(stderr, "refused: %s\n", outcomes[i].reason);
}
