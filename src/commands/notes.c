#include "notes.h"

#include "analysis/description.h"

#define NAMED_MAX 6 /* inks named in one note */

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

void notes_of_range(const struct measured_range *measured, FILE *notes)
{
    note_basis(measured, COLOUR_NONE, "left out, never measured", notes);
    note_basis(measured, COLOUR_WET_ONLY, "left out, measured only while wet", notes);
    note_basis(measured, COLOUR_DRY_END, "read only while drying, taken as its fit says it dries",
               notes);
    note_basis(measured, COLOUR_AGE_UNKNOWN, "taken as dry, though nobody told when inked", notes);
    if (!measured->range.count)
        fputs("woad: the inventory holds no ink yet; 'woad measure PHOTO' adds them\n", notes);
}

/* "Beetroot 12: deep purplish red (L* 28.1, a* 40.2, b* 1.7, within 0.9), settled; combined from 3
 * of 5 readings, batch 'two', on 'laid'" */
void notes_of_colour(const struct range_ink *ink, const struct range_facts *facts, FILE *notes)
{
    static const char *const basis[] = {
        [COLOUR_SETTLED] = "measured dry",
        [COLOUR_DRY_END] = "as its drying fit says it dries",
        [COLOUR_AGE_UNKNOWN] = "taken as dry, though nobody told when it was inked",
        [COLOUR_WET_ONLY] = "measured only while wet, which is not the colour it keeps",
        [COLOUR_NONE] = "never measured"};
    char words[DESCRIPTION_SIZE];

    if (ink->basis == COLOUR_WET_ONLY || ink->basis == COLOUR_NONE) {
        fprintf(notes, "%s: %s\n", ink->name, basis[ink->basis]);
        return;
    }
    description_words(ink->lab, words);
    fprintf(notes, "%s: %s (L* %.1f, a* %.1f, b* %.1f, within %.1f), %s; from %d of %d reading%s",
            ink->name, words, ink->lab.L, ink->lab.a, ink->lab.b, ink->u95, basis[ink->basis],
            ink->counted, facts->readings, facts->readings == 1 ? "" : "s");
    if (ink->batch[0])
        fprintf(notes, ", batch '%s'", ink->batch);
    if (ink->paper[0])
        fprintf(notes, ", on '%s'", ink->paper);
    fputc('\n', notes);
}

void notes_of_blends(const struct blend_log *log, FILE *notes)
{
    if (!log->tested_count)
        fputs(
            "woad: no test blend was measured, so these inks may mix by either of two laws; 'woad "
            "combinations measure' settles by which\n",
            notes);
    else
        fprintf(notes,
                "woad: %zu test blend%s measured; other pairs are taken to mix alike, %.2f of the "
                "way from Kubelka-Munk to the geometric mean\n",
                log->tested_count, log->tested_count == 1 ? "" : "s", log->untested.lean);
    if (log->logged_count < log->combinations.count)
        fprintf(notes,
                "woad: %zu of the %zu combinations logged have an ink without a colour and "
                "are not compared with\n",
                log->combinations.count - log->logged_count, log->combinations.count);
}
