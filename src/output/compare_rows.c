#include "output/compare_rows.h"

#include "analysis/difference.h"
#include "base/text.h"
#include "quantity.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#define NOTES_SIZE 160
#define ADVICE_SIZE 96

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
    quantity_parts(table, known ? difference : NULL, COLUMN_WITH_MORE);
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

enum status compare_rows_inks(const struct compare_inks *compared, struct table *table,
                              struct error *error)
{
    const struct range_ink *from = &compared->inks[0], *to = &compared->inks[1];
    bool papers = from->paper[0] && to->paper[0] && strcmp(from->paper, to->paper) != 0;
    char notes[NOTES_SIZE] = "", words[DIFFERENCE_WORDS_SIZE];

    add_note(notes, compared->same_photos, "same photo");
    add_note(notes, papers, "papers differ");
    difference_words(&compared->difference, DIFFERENCE_NOTICEABLE, words);
    table_row(table);
    table_text(table, COLUMN("ink"), from->name);
    table_text(table, COLUMN("other"), to->name);
    quantity_delta_e(table, &compared->delta_e);
    quantity_parts(table, &compared->difference, COLUMN_WITH_MORE);
    table_text(table, COLUMN("difference"), words);
    table_text(table, COLUMN("verdict"), batches_words(compared->verdict));
    table_words(table, COLUMN("notes"), notes);
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
