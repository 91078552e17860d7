#include "compare.h"

#include <stdio.h>

/* What is said beside the rows of 'woad compare'. */

#define SCATTER_USUAL 3.0 /* delta E; photos of one sheet leave less, from rendered ones */

static size_t count_verdicts(const struct batches *batches, enum verdict verdict)
{
    size_t count = 0;

    for (size_t i = 0; i < batches->count; i++)
        count += batches->verdicts[i].verdict == verdict;
    return count;
}

static void note_spread(const struct batches *batches, const struct compare_settings *settings,
                        FILE *out)
{
    if (!settings->more)
        return;
    if (settings->spread > 0)
        fprintf(out, "spread of swatches: %.2f per axis, as told; chi-square\n", batches->spread);
    else if (batches->spread_assumed)
        fprintf(out,
                "spread of swatches: %.2f per axis is assumed, too few swatches share batch and "
                "photo to estimate it; --spread tells it, several swatches of each show it\n",
                batches->spread);
    else
        fprintf(out,
                "spread of swatches: %.2f per axis, estimated with %.0f degrees of freedom; "
                "Hotelling's T squared\n",
                batches->spread, batches->spread_freedom);
}

static void note_photos(const struct batches *batches, const struct compare_settings *settings,
                        FILE *out)
{
    size_t apart = 0;

    for (size_t i = 0; i < batches->count; i++)
        apart +=
            batches->verdicts[i].verdict != VERDICT_MISSING && !batches->verdicts[i].same_photo;
    if (batches->shift_found && settings->more)
        fprintf(out,
                "common to all inks: dL* %+.2f, da* %+.2f, db* %+.2f (delta E 2000 %.2f); taken "
                "for the photos', not the inks', and taken off\n",
                batches->shift.L, batches->shift.a, batches->shift.b, batches->shift_delta_e);
    if (batches->shift_found && batches->shift_scatter > SCATTER_USUAL)
        fprintf(out,
                "woad: warning: the inks differ by much more than photos do (%.1f per axis about "
                "what is common): are the same inks in the same cells of both sheets?\n",
                batches->shift_scatter);
    if (!batches->shift_found && apart)
        fprintf(out,
                "compared across photos, whose own error stays in: %zu of %zu %s; both batches in "
                "one photo tell far more\n",
                apart, batches->asked, batches->asked == 1 ? "ink" : "inks");
}

/* Which readings stand for the swatches. */
static void note_basis(const struct compare_sides *sides, FILE *out)
{
    size_t inks = 0, unknown = 0, wet = 0;

    for (size_t i = 0; i < sides->count; i++) {
        inks += sides->inks[i].asked;
        unknown += sides->inks[i].asked && sides->inks[i].age_unknown;
        wet += sides->inks[i].asked && sides->inks[i].wet_left_out;
    }
    if (sides->measured)
        fputs("the readings are taken for settled: nothing tells how old the swatches are\n", out);
    else if (unknown)
        fprintf(out,
                "readings taken for settled, since nobody told when the swatches were inked: of "
                "%zu of %zu %s\n",
                unknown, inks, inks == 1 ? "ink" : "inks");
    else
        fputs("the readings compared are settled ones\n", out);
    if (wet)
        fprintf(out,
                "woad: left out are swatches read only while wet, of %zu of %zu %s: photograph "
                "them when they are dry\n",
                wet, inks, inks == 1 ? "ink" : "inks");
}

/* Where nothing could be compared, why. */
static void note_nothing(const struct compare_sides *sides, const struct batches *batches,
                         FILE *out)
{
    for (size_t i = 0; i < sides->count; i++)
        if (sides->inks[i].asked && sides->inks[i].wet_left_out)
            return;
    if (!batches->asked)
        fprintf(out,
                "woad: no ink has swatches both in %s and in %s: inks are matched by their names, "
                "which 'woad measure --names' tells\n",
                sides->name[0], sides->name[1]);
}

static void note_papers(const struct compare_sides *sides, FILE *out)
{
    for (size_t i = 0; i < sides->count; i++)
        if (sides->inks[i].asked && compare_sides_papers_differ(&sides->inks[i])) {
            fprintf(out,
                    "woad: warning: made on different papers (%s: '%.80s' and '%.80s'): the "
                    "difference holds the papers' as well\n",
                    sides->inks[i].name, sides->inks[i].paper[0], sides->inks[i].paper[1]);
            return;
        }
}

void compare_note(const struct compare_sides *sides, const struct batches *batches,
                  const struct compare_settings *settings, FILE *out)
{
    fprintf(out,
            "from %s to %s, tolerance %.2f delta E 2000: %zu same, %zu different, %zu cannot "
            "tell\n",
            sides->name[0], sides->name[1], settings->tolerance,
            count_verdicts(batches, VERDICT_SAME), count_verdicts(batches, VERDICT_DIFFERENT),
            count_verdicts(batches, VERDICT_CANNOT_TELL));
    note_basis(sides, out);
    note_nothing(sides, batches, out);
    if (batches->asked)
        note_spread(batches, settings, out);
    note_photos(batches, settings, out);
    if (batches->asked > 1 && settings->more)
        fprintf(out,
                "each verdict stands for itself: of 40 inks that differ by just the tolerance one "
                "is called different; 'a small difference is real' is held to 5 %% false alarms "
                "over all %zu together (Holm)\n",
                batches->asked);
    note_papers(sides, out);
}
