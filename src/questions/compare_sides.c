#include "questions/compare_sides.h"

#include "analysis/settled.h"
#include "base/memory.h"
#include "base/nearest.h"
#include "base/utf8.h"
#include "questions/dried.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

void compare_sides_release(struct compare_sides *sides)
{
    for (size_t i = 0; i < sides->count; i++)
        for (int side = 0; side < 2; side++)
            free(sides->inks[i].swatches[side]);
    free(sides->inks);
    memset(sides, 0, sizeof *sides);
}

struct compare_ink *compare_sides_ink(struct compare_sides *sides, const char *name,
                                      struct error *error)
{
    struct compare_ink *ink;

    for (size_t i = 0; i < sides->count; i++)
        if (strncmp(sides->inks[i].name, name, COMPARE_SIDES_NAME_SIZE - 1) == 0)
            return &sides->inks[i];
    if (sides->count == sides->capacity) {
        struct compare_ink *grown =
            memory_grow(sides->inks, &sides->capacity, sizeof *grown, "the inks", error);

        if (!grown)
            return NULL;
        sides->inks = grown;
    }
    ink = &sides->inks[sides->count++];
    memset(ink, 0, sizeof *ink);
    snprintf(ink->name, sizeof ink->name, "%s", name);
    ink->asked = true;
    return ink;
}

enum status compare_sides_add(struct compare_ink *ink, int side,
                              const struct observation *observation, struct error *error)
{
    size_t count = ink->count[side];
    struct observation *grown = memory_array(count + 1, sizeof *grown, "the readings", error);

    if (!grown)
        return error->status;
    if (count)
        memcpy(grown, ink->swatches[side], count * sizeof *grown);
    grown[count] = *observation;
    free(ink->swatches[side]);
    ink->swatches[side] = grown;
    ink->count[side]++;
    return STATUS_OK;
}

/* --- from the inventory --------------------------------------------------------------------- */

bool compare_sides_papers_differ(const struct compare_ink *ink)
{
    return ink->count[0] && ink->count[1] && ink->paper[0] && ink->paper[1] &&
           strcmp(ink->paper[0], ink->paper[1]) != 0;
}

static enum status gather(const struct inventory_readings *all, const struct kept_filter *filter,
                          int side, struct compare_sides *sides, struct error *error)
{
    const struct dried_question question = {filter, .fits_only = false};
    struct drying_set drying;
    enum status status = dried_load(all, &question, &drying, error);

    for (size_t i = 0; !status && i < all->count; i++) {
        const struct inventory_reading *kept = &all->items[i];
        struct observation observation;
        struct compare_ink *ink;

        if (!kept_passes(filter, kept))
            continue;
        observation = kept_observation(kept);
        dried_note(&drying, &observation);
        ink = compare_sides_ink(sides, kept->ink, error);
        status = ink ? compare_sides_add(ink, side, &observation, error) : error->status;
        if (!status && !ink->paper[side])
            ink->paper[side] = kept->paper;
    }
    dried_release(&drying);
    return status;
}

/* The photos of a side's dry readings count; `shared` asks for one that the other side has too. */
static bool is_in(const struct observation *readings, size_t count, int64_t photo)
{
    for (size_t i = 0; i < count; i++)
        if (readings[i].photo == photo && !settled_is_wet(&readings[i]))
            return true;
    return false;
}

/* Which of two readings of one swatch stands for it: in a photo of both sides, the latest. */
static bool is_better(const struct compare_ink *ink, int side, const struct observation *a,
                      const struct observation *b)
{
    bool a_shared = is_in(ink->swatches[!side], ink->count[!side], a->photo);
    bool b_shared = is_in(ink->swatches[!side], ink->count[!side], b->photo);

    if (a_shared != b_shared)
        return a_shared;
    if (a->faulty != b->faulty)
        return b->faulty;
    return a->taken_s != b->taken_s ? a->taken_s > b->taken_s : a->photo > b->photo;
}

/* Find the reading that stands for each swatch of one side, into `chosen`; returns how many. */
static size_t choose(struct compare_ink *ink, int side, struct observation *chosen)
{
    size_t count = 0;

    observation_sort(ink->swatches[side], ink->count[side]);
    for (size_t i = 0, run; i < ink->count[side]; i += run) {
        const struct observation *readings = ink->swatches[side] + i, *best = NULL;

        run = observation_run(readings, ink->count[side] - i);
        for (size_t j = 0; j < run; j++)
            if (!settled_is_wet(&readings[j]) &&
                (!best || is_better(ink, side, &readings[j], best)))
                best = &readings[j];
        ink->wet_left_out |= !best;
        if (best) {
            ink->age_unknown |= observation_age_s(best) < 0 && !best->settled_known;
            chosen[count++] = *best;
        }
    }
    return count;
}

static bool has_photo(const struct compare_ink *ink, int side, int64_t photo)
{
    for (size_t i = 0; i < ink->count[side]; i++)
        if (ink->swatches[side][i].photo == photo)
            return true;
    return false;
}

/* A photo of both sides tells more than others can add, whose errors differ: where there is one,
 * the swatches in photos of one side go. */
static void drop_apart(struct compare_ink *ink)
{
    bool shared[2] = {false, false};
    size_t left[2] = {0, 0};

    for (int side = 0; side < 2; side++)
        for (size_t i = 0; i < ink->count[side]; i++)
            shared[side] |= has_photo(ink, !side, ink->swatches[side][i].photo);
    for (int side = 0; shared[0] && side < 2; side++)
        for (size_t i = 0; i < ink->count[side]; i++) {
            struct observation swatch = ink->swatches[side][i];

            if (has_photo(ink, !side, swatch.photo))
                ink->swatches[side][left[side]++] = swatch;
        }
    for (int side = 0; shared[0] && side < 2; side++) {
        ink->apart_left_out |= left[side] < ink->count[side];
        ink->count[side] = left[side];
    }
}

/* Leave one reading for each swatch; both sides are chosen before either is replaced. */
static enum status settle(struct compare_ink *ink, struct error *error)
{
    struct observation *chosen[2] = {NULL, NULL};
    size_t count[2] = {0, 0};
    enum status status = STATUS_OK;

    for (int side = 0; !status && side < 2; side++) {
        chosen[side] = memory_array(ink->count[side], sizeof **chosen, "the readings", error);
        if (chosen[side])
            count[side] = choose(ink, side, chosen[side]);
        else
            status = error->status;
    }
    for (int side = 0; side < 2; side++) {
        if (status) {
            free(chosen[side]);
            continue;
        }
        free(ink->swatches[side]);
        ink->swatches[side] = chosen[side];
        ink->count[side] = count[side];
        observation_sort_by_photo(chosen[side], count[side]);
    }
    return status;
}

static const char *label_of(const struct inventory_reading *kept, bool batches)
{
    return batches ? kept->batch : kept->chart;
}

/* Whether an earlier reading has the same label. */
static bool is_repeated(const struct inventory_readings *all, bool batches, size_t place)
{
    const char *label = label_of(&all->items[place], batches);

    for (size_t i = 0; i < place; i++) {
        const char *earlier = label_of(&all->items[i], batches);

        if (earlier && strcmp(earlier, label) == 0)
            return true;
    }
    return false;
}

void compare_sides_list(const struct inventory_readings *all, bool batches,
                        char list[COMPARE_SIDES_LIST_SIZE])
{
    size_t length = 0;

    list[0] = '\0';
    for (size_t i = 0; i < all->count; i++) {
        const char *label = label_of(&all->items[i], batches);

        if (!label || is_repeated(all, batches, i))
            continue;
        if (length + strlen(label) + 8 > COMPARE_SIDES_LIST_SIZE) {
            snprintf(list + length, COMPARE_SIDES_LIST_SIZE - length, ", ...");
            return;
        }
        length += (size_t)snprintf(list + length, COMPARE_SIDES_LIST_SIZE - length, "%s%s",
                                   length ? ", " : "", label);
    }
}

/* Refuse a batch or chart that no reading has; say what is near, or what there is. */
static enum status refuse_unknown(const struct inventory_readings *all, bool batch,
                                  const char *name, struct error *error)
{
    struct nearest nearest = nearest_start(name);
    const char *what = batch ? "batch" : "chart";
    char list[COMPARE_SIDES_LIST_SIZE];

    for (size_t i = 0; i < all->count; i++) {
        const char *there = label_of(&all->items[i], batch);

        if (there && utf8_same(there, name))
            return STATUS_OK;
        if (there)
            nearest_offer(&nearest, there);
    }
    if (nearest.best)
        return error_set(error, STATUS_INVENTORY,
                         "the inventory holds no %s '%.120s'; did you mean '%.120s'?", what, name,
                         nearest.best);
    compare_sides_list(all, batch, list);
    return error_set(error, STATUS_INVENTORY, "the inventory holds no %s '%.120s'; it holds %s",
                     what, name, list[0] ? list : "none: 'woad measure' tells it");
}

static void note_mixed(struct compare_ink *ink)
{
    for (int side = 0; side < 2; side++)
        for (size_t i = 1; i < ink->count[side]; i++)
            ink->batches_mixed |= ink->swatches[side][i].batch != ink->swatches[side][0].batch;
}

static void ask_for(struct compare_sides *sides, const char *ink)
{
    for (size_t i = 0; i < sides->count; i++)
        sides->inks[i].asked = !ink || utf8_same(sides->inks[i].name, ink);
}

enum status compare_sides_load(const struct inventory_readings *all,
                               const struct compare_question *question, struct compare_sides *sides,
                               struct error *error)
{
    bool batches = question->batches;
    const char *const *names = question->names;
    enum status status = STATUS_OK;

    for (int side = 0; !status && side < 2; side++) {
        const struct kept_filter filter = {.batch = batches ? names[side] : NULL,
                                           .chart = batches ? NULL : names[side]};

        snprintf(sides->name[side], COMPARE_SIDES_NAME_SIZE, "%s %s", batches ? "batch" : "chart",
                 names[side]);
        status = refuse_unknown(all, batches, names[side], error);
        if (!status)
            status = gather(all, &filter, side, sides, error);
    }
    for (size_t i = 0; !status && i < sides->count; i++)
        status = settle(&sides->inks[i], error);
    for (size_t i = 0; !status && i < sides->count; i++) {
        drop_apart(&sides->inks[i]);
        note_mixed(&sides->inks[i]);
    }
    ask_for(sides, question->ink);
    return status;
}

enum status compare_sides_judge(const struct compare_sides *sides,
                                const struct batches_question *question, struct batches *batches,
                                struct error *error)
{
    struct batch_pair *pairs = memory_array(sides->count, sizeof *pairs, "the inks", error);
    enum status status = pairs ? STATUS_OK : error->status;

    for (size_t i = 0; !status && i < sides->count; i++) {
        const struct compare_ink *ink = &sides->inks[i];

        pairs[i] = (struct batch_pair){ink->swatches[0], ink->swatches[1], ink->count[0],
                                       ink->count[1], ink->asked};
    }
    if (!status)
        status = batches_compare(pairs, sides->count, question, batches, error);
    free(pairs);
    return status;
}
