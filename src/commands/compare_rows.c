#include "compare.h"

#include "analysis/difference.h"
#include "base/text.h"
#include "output/quantity.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#define NOTES_SIZE 160
#define ADVICE_SIZE 96
#define SCATTER_USUAL 3.0 /* delta E; photos of one sheet leave less, from rendered ones */

static void add_note(char notes[NOTES_SIZE], bool wanted, const char *note)
{
    size_t length = strlen(notes);

    if (wanted)
        snprintf(notes + length, NOTES_SIZE - length, "%s%s", length ? ";" : "", note);
}

static void notes_of(const struct compare_ink *ink, const struct batch_verdict *verdict,
                     char notes[NOTES_SIZE])
{
    notes[0] = '\0';
    add_note(notes, verdict->verdict != VERDICT_MISSING && verdict->same_photo, "same photo");
    add_note(notes, verdict->verdict == VERDICT_SAME && verdict->seen,
             "a small difference is real");
    add_note(notes, compare_sides_papers_differ(ink), "papers differ");
    add_note(notes, ink->batches_mixed, "several batches");
    add_note(notes, ink->wet_left_out, "wet left out");
    add_note(notes, ink->apart_left_out, "those in other photos left out");
    add_note(notes, ink->age_unknown, "age unknown");
    add_note(notes, !ink->count[0], "not in the old");
    add_note(notes, !ink->count[1], "not in the new");
}

/* What would settle a verdict that can't be given. */
static void advise(const struct compare_ink *ink, const struct batch_verdict *verdict,
                   char advice[ADVICE_SIZE])
{
    int wanted = verdict->swatches_wanted;
    size_t fewest = ink->count[0] < ink->count[1] ? ink->count[0] : ink->count[1];

    advice[0] = '\0';
    if (verdict->verdict != VERDICT_CANNOT_TELL)
        return;
    if (!wanted)
        snprintf(advice, ADVICE_SIZE, "too near the tolerance for %d swatches",
                 BATCHES_SWATCHES_MAX);
    else if ((size_t)wanted <= fewest)
        snprintf(advice, ADVICE_SIZE, "both batches in one photo");
    else
        snprintf(advice, ADVICE_SIZE, "%d %s of each, in one photo", wanted,
                 wanted == 1 ? "swatch" : "swatches");
}

static void put_swatches(struct table *table, const size_t count[2])
{
    char swatches[48];

    snprintf(swatches, sizeof swatches, "%zu + %zu", count[0], count[1]);
    table_text(table, COLUMN("swatches", .place = COLUMN_IN_TEXT), swatches);
    table_number(table, COLUMN("swatches_before", .place = COLUMN_IN_DATA), (double)count[0]);
    table_number(table, COLUMN("swatches_after", .place = COLUMN_IN_DATA), (double)count[1]);
}

static void put_difference(struct table *table, const struct batch_verdict *verdict)
{
    const struct difference *difference = &verdict->difference;
    const struct interval delta_e = {difference->delta_e, verdict->low, verdict->high};
    bool known = verdict->verdict != VERDICT_MISSING;
    char words[DIFFERENCE_WORDS_SIZE];

    difference_words(difference, DIFFERENCE_NOTICEABLE, words);
    quantity_delta_e(table, known ? &delta_e : NULL);
    table_number(table, COLUMN("chance", .decimals = 4, .place = COLUMN_IN_DATA),
                 known ? verdict->chance : NAN);
    quantity_parts(table, known ? difference : NULL, COLUMN_EVERYWHERE);
    table_text(table, COLUMN("difference"), known ? words : NULL);
}

static void put_row(struct table *table, const struct compare_ink *ink,
                    const struct batch_verdict *verdict)
{
    char notes[NOTES_SIZE], advice[ADVICE_SIZE];

    notes_of(ink, verdict, notes);
    advise(ink, verdict, advice);
    table_row(table);
    table_text(table, COLUMN("ink"), ink->name);
    put_swatches(table, ink->count);
    put_difference(table, verdict);
    table_text(table, COLUMN("verdict"), batches_words(verdict->verdict));
    table_number(table, COLUMN("swatches_wanted", .place = COLUMN_IN_DATA),
                 verdict->swatches_wanted ? (double)verdict->swatches_wanted : NAN);
    table_text(table, COLUMN("advice", .title = "to settle it", .place = COLUMN_IN_TEXT), advice);
    table_words(table, COLUMN("notes"), notes);
}

enum status compare_rows(const struct compare_sides *sides, const struct batches *batches,
                         struct table *table, struct error *error)
{
    put_row(table, &(const struct compare_ink){0}, &(const struct batch_verdict){0});
    table_keep_columns(table);
    for (size_t i = 0; i < sides->count; i++)
        if (sides->inks[i].asked)
            put_row(table, &sides->inks[i], &batches->verdicts[i]);
    return table_check(table, error);
}

void compare_rows_plan(const struct compare_plan *plan, struct table *table)
{
    table_row(table);
    table_number(table, COLUMN("delta_e", .title = "delta E", .decimals = 2), plan->delta_e);
    table_number(table, COLUMN("spread", .decimals = 2), plan->spread);
    table_text(table, COLUMN("known", .title = "spread is"), plan->known);
    table_number(table, COLUMN("swatches", .title = "swatches of each"), plan->swatches);
    table_number(table, COLUMN("power", .decimals = 3), plan->power);
}

/* --- notes ---------------------------------------------------------------------------------- */

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

static void note_photos(const struct batches *batches, FILE *out)
{
    size_t apart = 0;

    for (size_t i = 0; i < batches->count; i++)
        apart +=
            batches->verdicts[i].verdict != VERDICT_MISSING && !batches->verdicts[i].same_photo;
    if (batches->shift_found)
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
    note_photos(batches, out);
    if (batches->asked > 1)
        fprintf(out,
                "'different' is held to 5 %% false alarms over all %zu inks together (Holm): of "
                "many it takes more than an interval that just leaves the tolerance\n",
                batches->asked);
    note_papers(sides, out);
}
