#include "output/fault_words.h"

#include <stdio.h>

/* What was seen, before and behind the sensor's figure, and what to do. */
static const struct {
    const char *before;
    double scale; /* of the figure, for people */
    int decimals;
    const char *behind;
    const char *advice;
} fault_words[FAULTS] = {
    [FAULT_PAPER_LIGHTER] =
        {"the paper comes out at L* ", 1, 1,
         ", lighter than white paper is, as where the card lies in less light than the sheet",
         "lay both flat, side by side, in one light; if that does not mend it, the card is faded"},
    [FAULT_PAPER_DARKER] =
        {"the paper comes out at L* ", 1, 1,
         ", darker than white paper is, as where the card lies in more light than the sheet",
         "lay both flat, side by side, in one light; if the paper is grey, all "
         "is well"},
    [FAULT_CARD_HAZY] =
        {"the card's black is too light by ", 100, 0,
         " % of its white, as under plastic, haze or shine, or where the camera lifts the shadows",
         "uncover the card and turn it away from window and lamp; if that does not mend it, the "
         "card "
         "is faded"},
    [FAULT_SHEET_HAZY] =
        {"even the darkest ink gives back ", 100, 0,
         " % of the paper's light in every channel, as under plastic, haze or shine",
         "uncover the sheet and turn it away from window and lamp; if its inks "
         "are all greyish, all is well"},
    [FAULT_LOCAL_TONE] = {"paper is lighter beside dark cells than beside pale ones (by ", 69, 1,
                          " % for each doubling): the camera lightens what is dark",
                          "turn off HDR, filters and portrait mode"},
    [FAULT_PRINTED_GREYS] = {"the sheet's printed greys come out ", 100, 1,
                             " % lighter within dark than within white: the camera lightens what "
                             "is dark",
                             "turn off HDR, filters and portrait mode"},
    [FAULT_GREYS] = {"the card's greys miss their table by L* ", 1, 1,
                     " on average, whatever curve the camera has",
                     "look for a shadow, shine or dirt on them, and take the photo without HDR "
                     "and filters; if that does not mend it, the card is faded or a poor print"},
    [FAULT_CARD_COLOURS] =
        {"the card's patches foretell one another only within ", 1, 1, " delta E 2000",
         "see that --card names this card; try daylight from one window, without "
         "filters or HDR; if that does not mend it, the card is faded or a poor "
         "print"},
    [FAULT_COMPRESSED] = {"the JPEG is compressed hard: flat areas are rounded to ", 1, 1,
                          " codes of 255, as in previews and copies out of a chat",
                          "take the camera's own file, at its best quality"},
    [FAULT_OVEREXPOSED] = {"the paper is almost burnt out, at ", 100, 0, " % of the range",
                           "expose a little less"},
};

/* "fit to measure", "usable, with larger doubt" or "not promised". */
static const char *verdict_words(enum photo_verdict verdict)
{
    static const char *const words[] = {[PHOTO_FIT] = "fit to measure",
                                        [PHOTO_LARGER_DOUBT] = "usable, with larger doubt",
                                        [PHOTO_NOT_PROMISED] = "not promised"};

    return words[verdict];
}

void fault_words_of(enum fault_kind kind, const struct fault *fault, char words[FAULT_WORDS_SIZE])
{
    snprintf(words, FAULT_WORDS_SIZE, "%s%.*f%s; %s", fault_words[kind].before,
             fault_words[kind].decimals, fault->seen * fault_words[kind].scale,
             fault_words[kind].behind, fault_words[kind].advice);
}

void fault_words_verdict_line(const struct faults *faults, char words[FAULT_WORDS_SIZE])
{
    enum fault_kind worst = faults_worst(faults);
    const char *verdict = verdict_words(faults_verdict(faults));
    char reason[FAULT_WORDS_SIZE];

    if (worst == FAULTS) {
        snprintf(words, FAULT_WORDS_SIZE, "%s", verdict);
        return;
    }
    fault_words_of(worst, &faults->of[worst], reason);
    snprintf(words, FAULT_WORDS_SIZE, "%s: %.*s", verdict, FAULT_WORDS_SIZE - 40, reason);
}
