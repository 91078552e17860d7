#include "output/drying_words.h"

#include "values/calendar.h"
#include "files/names.h"
#include "output/drying_plot.h"

#include <math.h>
#include <string.h>

_Static_assert(DRYING_INSTANT_SIZE >= CALENDAR_TEXT_SIZE, "an instant is a time of the clock");

void drying_place(const struct drying_swatch *swatch, char text[DRYING_PLACE_SIZE])
{
    const struct inventory_reading *kept = swatch->kept;
    char label[NAMES_LABEL_SIZE];

    names_label(kept->reading.row, kept->reading.column, label);
    snprintf(text, DRYING_PLACE_SIZE, "%s of %.200s%s%.200s", label, kept->chart,
             kept->batch ? ", batch " : "", kept->batch ? kept->batch : "");
}

/* --- figures -------------------------------------------------------------------------------- */

/* "30 min to 55 min", "up to 55 min", "30 min to no bound". */
static void interval_of_time(const struct drying_figure *figure, char *text, size_t size)
{
    char low[DURATION_TEXT_SIZE], high[DURATION_TEXT_SIZE] = "no bound";

    drying_format_duration(figure->low, low);
    if (isfinite(figure->high))
        drying_format_duration(figure->high, high);
    if (figure->low > 0)
        snprintf(text, size, "%s to %s", low, high);
    else
        snprintf(text, size, "up to %s", high);
}

/* When the swatch is dry at the latest, in seconds since 1970 UTC. */
static double sure_s(const struct drying *drying)
{
    return (double)drying->origin_s + drying->settled_s.high;
}

/* A swatch that moved, and whose fit bounds when it is dry. */
static bool is_bounded(const struct drying *drying)
{
    return drying->state != DRYING_UNMOVED && drying->state != DRYING_FADING && drying->fitted &&
           isfinite(drying->settled_s.high);
}

void drying_sure_from(const struct drying_swatch *swatch, char text[DRYING_INSTANT_SIZE])
{
    const struct drying *drying = &swatch->drying;
    struct photo_time time = swatch->kept->taken;

    text[0] = '\0';
    if (!is_bounded(drying))
        return;
    time.source = PHOTO_TIME_GIVEN;
    time.utc_seconds = 60 * (int64_t)ceil(sure_s(drying) / 60); /* the next whole minute */
    calendar_format(&time, text);
}

void drying_brief(const struct drying_swatch *swatch, char text[DRYING_BRIEF_SIZE])
{
    const struct drying *drying = &swatch->drying;
    char value[DURATION_TEXT_SIZE], interval[DRYING_BRIEF_SIZE / 2];

    text[0] = '\0';
    if (drying->state == DRYING_FADING)
        snprintf(text, DRYING_BRIEF_SIZE, "fades by %.1f in 30 days", drying->fading.value);
    if (!is_bounded(drying))
        return;
    drying_format_duration(drying->settled_s.value, value);
    interval_of_time(&drying->settled_s, interval, sizeof interval);
    snprintf(text, DRYING_BRIEF_SIZE, "%s (%s)", value, interval);
}

/* --- sentences ------------------------------------------------------------------------------ */

static void say_settling(const struct drying_swatch *swatch, char *text, size_t size)
{
    const struct drying *drying = &swatch->drying;
    const char *since = drying->inked_known ? "" : " from its first reading";
    const char *begins = drying->state == DRYING_SETTLED  ? "settled after"
                         : drying->state == DRYING_UNSURE ? "perhaps settled after"
                                                          : "has not settled: it will after";
    const char *advice = drying->state == DRYING_SETTLED ? "measure from" : "surely from";
    char value[DURATION_TEXT_SIZE], interval[DRYING_BRIEF_SIZE / 2], when[DRYING_INSTANT_SIZE];

    if (!is_bounded(drying)) {
        snprintf(text, size, "%s: photograph it again later",
                 drying->state == DRYING_UNSURE
                     ? "has perhaps settled, but that can't be told yet"
                     : "has not settled, and when it will can't be told yet");
        return;
    }
    drying_format_duration(drying->settled_s.value, value);
    interval_of_time(&drying->settled_s, interval, sizeof interval);
    drying_sure_from(swatch, when);
    snprintf(text, size, "%s about %s (95 %%: %s)%s; %s %.*s", begins, value, interval, since,
             advice, DRYING_INSTANT_SHOWN, when);
}

static void say_too_few(const struct drying_swatch *swatch, char *text, size_t size)
{
    size_t count = swatch->count;

    if (count == 0)
        snprintf(text, size,
                 "no reading of known time: tell when its photos were taken with "
                 "'woad measure --at'");
    else
        snprintf(text, size,
                 "too few readings: %zu, a fit needs %d at different times: photograph the chart "
                 "again",
                 count, DRYING_READINGS_MIN);
}

static void say_fading(const struct drying_swatch *swatch, char *text, size_t size)
{
    const struct drying_figure *fading = &swatch->drying.fading;

    snprintf(text, size,
             "is fading: drifts by %.1f delta E in 30 days (95 %%: %.1f to %.1f), long after "
             "drying",
             fading->value, fading->low, fading->high);
}

void drying_sentence(const struct drying_swatch *swatch, char text[DRYING_SENTENCE_SIZE])
{
    switch (swatch->drying.state) {
    case DRYING_TOO_FEW:
        say_too_few(swatch, text, DRYING_SENTENCE_SIZE);
        break;
    case DRYING_UNMOVED:
        snprintf(text, DRYING_SENTENCE_SIZE,
                 "did not change: it was dry before the first reading, or moves less than can be "
                 "seen");
        break;
    case DRYING_FADING:
        say_fading(swatch, text, DRYING_SENTENCE_SIZE);
        break;
    default:
        say_settling(swatch, text, DRYING_SENTENCE_SIZE);
    }
}

const char *drying_state_words(enum drying_state state)
{
    static const char *const words[] = {
        [DRYING_TOO_FEW] = "too few", [DRYING_UNMOVED] = "did not change",
        [DRYING_SETTLED] = "settled", [DRYING_UNSURE] = "perhaps settled",
        [DRYING_WET] = "wet",         [DRYING_FADING] = "fading"};

    return words[state];
}

/* --- all of them ---------------------------------------------------------------------------- */

static size_t count_state(const struct drying_set *set, enum drying_state state)
{
    size_t count = 0;

    for (size_t i = 0; i < set->count; i++)
        count += set->swatches[i].drying.state == state;
    return count;
}

/* One odd swatch has no say in when to measure the others: the last is set apart where it takes
 * more than half as long again as the one before it. No source. */
#define ODD_TIMES 1.5
#define ODD_AMONG_MIN 4 /* among fewer none is odd */

/* Which swatches are the last to be surely dry. */
struct last_dry {
    const struct drying_swatch *last; /* NULL where none moved */
    const struct drying_swatch *odd;  /* set apart; NULL: none */
    size_t bounded;
    size_t unbounded; /* of so many it can't be told */
};

static double sure_after_s(const struct drying_swatch *swatch)
{
    return swatch->drying.settled_s.high;
}

static struct last_dry find_last_dry(const struct drying_set *set)
{
    const struct drying_swatch *before = NULL;
    struct last_dry found = {.last = NULL};

    for (size_t i = 0; i < set->count; i++) {
        const struct drying_swatch *swatch = &set->swatches[i];

        if (!is_bounded(&swatch->drying)) {
            found.unbounded +=
                swatch->drying.state == DRYING_WET || swatch->drying.state == DRYING_UNSURE;
            continue;
        }
        found.bounded++;
        if (!found.last || sure_s(&swatch->drying) > sure_s(&found.last->drying)) {
            before = found.last;
            found.last = swatch;
        } else if (!before || sure_s(&swatch->drying) > sure_s(&before->drying)) {
            before = swatch;
        }
    }
    if (found.bounded >= ODD_AMONG_MIN &&
        sure_after_s(found.last) > ODD_TIMES * sure_after_s(before)) {
        found.odd = found.last;
        found.last = before;
    }
    return found;
}

static void note_when(const struct last_dry *found, FILE *out)
{
    char when[DRYING_INSTANT_SIZE];

    if (!found->last)
        return;
    drying_sure_from(found->last, when);
    fprintf(out, "measure from %.*s: %s\n", DRYING_INSTANT_SHOWN, when,
            found->unbounded || found->odd ? "the others are dry by then"
                                           : "all that moved are surely dry by then");
    if (!found->odd)
        return;
    drying_sure_from(found->odd, when);
    fprintf(out, "but '%s' stands apart, and may take until %.*s\n", found->odd->kept->ink,
            DRYING_INSTANT_SHOWN, when);
}

void drying_note_all(const struct drying_set *set, FILE *out)
{
    size_t too_few = count_state(set, DRYING_TOO_FEW);
    const struct last_dry found = find_last_dry(set);

    fprintf(out, "%zu swatch%s:", set->count, set->count == 1 ? "" : "es");
    for (enum drying_state state = DRYING_TOO_FEW, any = 0; state <= DRYING_FADING; state++) {
        size_t count = count_state(set, state);

        if (count)
            fprintf(out, "%s %zu %s", any ? "," : "", count, drying_state_words(state));
        any |= count > 0;
    }
    fputc('\n', out);
    if (too_few)
        fprintf(out, "a fit needs %d readings at different times: photograph the chart again\n",
                DRYING_READINGS_MIN);
    if (found.unbounded)
        fprintf(out, "of %zu it can't be told yet when they are dry: photograph them later\n",
                found.unbounded);
    note_when(&found, out);
}
