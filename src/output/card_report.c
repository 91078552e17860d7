#include "output/card_report.h"

#include "output/fault_words.h"
#include "values/statistics.h"

#include <ctype.h>
#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <string.h>

/* Delta E 2000 by which patches are predicted from the others: the marks that part good light from
 * fair and poor are from rendered cards in daylight (0.3 to 0.8), incandescent and tri-band light
 * (0.7 to 1.3), and hard mixtures (more). */
#define GOOD_LIGHT 0.75
#define FAIR_LIGHT 1.2

/* Another edition's values are thought to be the card's if they leave so much less, and little. On
 * 299 rendered photos, told the wrong edition, this said so of 198 among 200 in good light and
 * ordinary phone photos and of 46 among 99 in hard light; told the right one, of one, in hard
 * light.
 */
#define OTHER_EDITION_SHARE 0.8
#define OTHER_EDITION_MAX 1.0

/* A patch this far off, and this many times the usual, is not what the table says. */
#define APART 3.0
#define APART_SHARE 4.0

#define FALLOFF_MUCH 0.25
/* More lost than one in so many, and too few are left to tell of all colours: our own judgement. */
#define PATCHES_LOST_PART 6

__attribute__((format(printf, 2, 3))) static void add_line(struct card_report *report,
                                                           const char *format, ...)
{
    va_list values;

    if (report->count >= CARD_REPORT_LINES_MAX)
        return;
    va_start(values, format);
    vsnprintf(report->line[report->count++], CARD_REPORT_LINE_SIZE, format, values);
    va_end(values);
}

/* Add a name to a list: "brown, red and blue" is for people, so commas do. */
static void add_name(char *list, const char *name)
{
    size_t length = strlen(list);

    snprintf(list + length, CARD_REPORT_LINE_SIZE / 2 - length, "%s%s", length ? ", " : "", name);
}

static double usual_error(const struct correction_quality *quality)
{
    double errors[CARD_PATCHES_MAX];
    size_t count = 0;

    for (int i = 0; i < quality->patches; i++)
        if (quality->left_out[i] > 0)
            errors[count++] = quality->left_out[i];
    return statistics_median(errors, count);
}

static void report_left_out(const struct card *card, const struct measurement *measurement,
                            struct card_report *report)
{
    const struct correction_quality *quality = &measurement->quality;
    char hidden[CARD_REPORT_LINE_SIZE / 2] = "", clipped[CARD_REPORT_LINE_SIZE / 2] = "";
    char outside[CARD_REPORT_LINE_SIZE / 2] = "";

    for (int i = 0; i < card->shape.patches; i++) {
        if (measurement->card.outside[i])
            add_name(outside, card->patch_name[i]);
        else if (measurement->card.hidden[i])
            add_name(hidden, card->patch_name[i]);
        else if (!quality->used[i] && !(quality->left_out[i] > 0))
            add_name(clipped, card->patch_name[i]);
    }
    if (outside[0])
        add_line(report, "Outside the photo: %s. Take in the whole card.", outside);
    if (hidden[0])
        add_line(report, "Hidden, or of another colour: %s.", hidden);
    if (clipped[0])
        add_line(report,
                 "Left out, as a channel is at the end of the photo's range: %s. A camera that "
                 "saves in a wider colour space would keep them.",
                 clipped);
}

static void report_apart(const struct card *card, const struct correction_quality *quality,
                         struct card_report *report)
{
    double usual = usual_error(quality);

    for (int i = 0; i < card->shape.patches; i++)
        if (quality->left_out[i] > APART && quality->left_out[i] > APART_SHARE * usual)
            add_line(report,
                     "%s is off by %.1f delta E 2000 from what the other patches foretell: faded, "
                     "misprinted, dirty, or in glare. If it stays so in other photos, measure the "
                     "card or get a new one.",
                     card->patch_name[i], quality->left_out[i]);
}

enum card_verdict card_report_verdict(const struct correction_quality *quality)
{
    double error = quality->left_out_mean, other = quality->as_other_edition;

    if (other > 0 && other < OTHER_EDITION_SHARE * error && other < OTHER_EDITION_MAX)
        return CARD_OF_OTHER_EDITION;
    if (error < GOOD_LIGHT)
        return CARD_LIGHT_GOOD;
    return error < FAIR_LIGHT ? CARD_LIGHT_FAIR : CARD_LIGHT_POOR;
}

static void report_light(const struct card *card, const struct correction_quality *quality,
                         struct card_report *report)
{
    switch (card_report_verdict(quality)) {
    case CARD_LIGHT_GOOD:
        add_line(report,
                 "The card fits well: patches are foretold from the others within %.2f "
                 "delta E 2000.",
                 quality->left_out_mean);
        break;
    case CARD_LIGHT_FAIR:
    case CARD_LIGHT_POOR:
        add_line(report,
                 "Patches are foretold from the others within %.2f delta E 2000; in daylight it "
                 "is 0.3 to 0.8. Lamps of few wavelengths or two kinds of light at once do this, "
                 "as do filters and picture styles of the camera, strong compression, shine or "
                 "shadow on the card, and a card that is faded or not the one given with --card. "
                 "The uncertainty of every reading is widened to say so.",
                 quality->left_out_mean);
        break;
    case CARD_OF_OTHER_EDITION:
        add_line(report,
                 "The card looks like its other edition: each patch is foretold from the others "
                 "within %.2f delta E 2000 by the values of %s, within %.2f by those used. If your "
                 "card was made then, give --card %s.",
                 quality->as_other_edition, card->other_edition, quality->left_out_mean,
                 card->other_edition);
        break;
    }
    if (quality->light_falloff > FALLOFF_MUCH)
        add_line(report,
                 "The light falls off by %.0f %% over card and paper: step back from the lamp, or "
                 "turn the sheet so that both lie alike.",
                 100 * quality->light_falloff / (1 + quality->light_falloff));
}

static const char *capital(char *line)
{
    line[0] = (char)toupper((unsigned char)line[0]);
    return line;
}

/* The verdict on the photo, then its other faults, and what a second card shows. */
static void report_verdict(const struct measurement *measurement, struct card_report *report)
{
    const struct faults *faults = &measurement->faults;
    char words[FAULT_WORDS_SIZE];

    fault_words_verdict_line(faults, words);
    add_line(report, "%s.", capital(words));
    for (int i = 0; i < FAULTS; i++)
        if (faults->of[i].found && i != (int)faults_worst(faults)) {
            fault_words_of((enum fault_kind)i, &faults->of[i], words);
            add_line(report, "%s.", capital(words));
        }
    if (measurement->second_card.found)
        add_line(report,
                 "A second card lies in the photo; read through the first it is off by %.2f delta "
                 "E 2000 on average.",
                 measurement->second_card_error);
}

void card_report_make(const struct card *card, const struct measurement *measurement,
                      struct card_report *report)
{
    const struct correction_quality *quality = &measurement->quality;

    memset(report, 0, sizeof *report);
    report_verdict(measurement, report);
    report_light(card, quality, report);
    report_left_out(card, measurement, report);
    report_apart(card, quality, report);
    if (quality->patches - quality->patches_used > quality->patches / PATCHES_LOST_PART)
        add_line(report,
                 "Only %d of %d patches could be used: colours between the others are less sure.",
                 quality->patches_used, quality->patches);
}
