#include "questions/dried.h"

#include "analysis/settled.h"
#include "base/memory.h"
#include "chart_noise.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define UNMOVED_LONG_S 3600       /* no source */
#define PAPER_OWN_VARIANCE 0.0025 /* Lab squared; the paper is sampled in very many places */

/* All readings, their places swatch by swatch, and room for the controls of one swatch. */
struct drying_loading {
    const struct inventory_readings *all;
    size_t *places; /* by swatch, and by time within each */
    struct observation *controls;
    size_t control_count;
    struct chart_noises noises; /* of the charts asked for */
};

/* --- what did not move ---------------------------------------------------------------------- */

static bool is_unmoved(const struct inventory_reading *kept)
{
    struct observation observation = kept_observation(kept);

    if (kept->reading.found == CELL_EMPTY)
        return true;
    return kept->reading.found == CELL_INK && !observation.faulty &&
           observation_age_s(&observation) >= SETTLED_AGE_S;
}

static void add_control(struct drying_loading *loading, const struct inventory_reading *kept)
{
    struct observation *control = &loading->controls[loading->control_count++];

    *control = kept_observation(kept);
    if (kept->reading.found == CELL_EMPTY) /* the blank cells have no swatch: tell them by place */
        control->swatch = -1 - kept->reading.row * 1000 - kept->reading.column;
}

/* The bare paper of a photo, with the shared error that a cell of the photo states. */
static void add_paper(struct drying_loading *loading, const struct inventory_reading *kept)
{
    struct observation *control = &loading->controls[loading->control_count++];

    *control = kept_observation(kept);
    control->lab = kept->photo_paper;
    control->swatch = 0;
    memset(control->covariance_own, 0, sizeof control->covariance_own);
    for (int i = 0; i < 3; i++)
        control->covariance_own[4 * i] = PAPER_OWN_VARIANCE;
}

/* Gather from one photo, whose readings stand together, of which `place` is one. */
static void gather_photo(struct drying_loading *loading, size_t place, int64_t swatch)
{
    const struct inventory_reading *items = loading->all->items;
    int64_t photo = items[place].photo_id;
    bool paper = false;

    while (place > 0 && items[place - 1].photo_id == photo)
        place--;
    for (; place < loading->all->count && items[place].photo_id == photo; place++) {
        if (items[place].swatch_id == swatch)
            continue;
        if (is_unmoved(&items[place]))
            add_control(loading, &items[place]);
        if (!paper)
            add_paper(loading, &items[place]);
        paper = true;
    }
}

/* --- one swatch ----------------------------------------------------------------------------- */

/* Whether a reading tells of its swatch's drying. */
static bool tells(const struct inventory_reading *kept)
{
    return kept->reading.found == CELL_INK && !kept->superseded &&
           kept->taken.source != PHOTO_TIME_NONE;
}

/* Its readings, and what did not move in the photos they are from. */
static void gather(struct drying_loading *loading, struct drying_set *set,
                   struct drying_swatch *swatch)
{
    const struct inventory_readings *all = loading->all;
    int64_t photo = 0;

    loading->control_count = 0;
    swatch->first = set->reading_count;
    for (size_t i = swatch->places_from; i < swatch->places_to; i++) {
        const struct inventory_reading *kept = &all->items[loading->places[i]];

        swatch->undated |= kept->reading.found == CELL_INK && !kept->superseded &&
                           kept->taken.source == PHOTO_TIME_NONE;
        if (!tells(kept))
            continue;
        set->readings[set->reading_count++] = kept_observation(kept);
        if (kept->photo_id != photo)
            gather_photo(loading, loading->places[i], kept->swatch_id);
        photo = kept->photo_id;
    }
    swatch->count = set->reading_count - swatch->first;
    observation_sort(loading->controls, loading->control_count);
}

/* Its readings, the photos' shared errors taken off as far as that goes. */
static void steady_swatch(struct drying_loading *loading, struct drying_set *set,
                          struct drying_swatch *swatch)
{
    struct observation *steadied;

    gather(loading, set, swatch);
    steadied = set->steadied + swatch->first;
    memcpy(steadied, set->readings + swatch->first, swatch->count * sizeof *steadied);
    if (swatch->count)
        swatch->steady =
            steady_take_off(steadied, swatch->count, loading->controls, loading->control_count);
}

/* Without swatches that did not move nothing tells the photos' errors from drying, and no less than
 * what is stated is believed. */
static struct variance_prior noise_known(const struct drying_loading *loading,
                                         const struct drying_swatch *swatch)
{
    struct variance_prior noise = chart_noise_of(&loading->noises, swatch->kept->chart);

    if (swatch->steady.controls < 2 && noise.variance < 1)
        noise = (struct variance_prior){1, INFINITY};
    return noise;
}

static enum status fit_swatch(struct drying_loading *loading, struct drying_set *set,
                              struct drying_swatch *swatch, struct error *error)
{
    struct variance_prior noise;

    steady_swatch(loading, set, swatch);
    noise = noise_known(loading, swatch);
    return drying_fit(set->steadied + swatch->first, swatch->count, &noise, &swatch->drying, error);
}

/* --- all of them ---------------------------------------------------------------------------- */

/* A reading's place among all, by the swatch it is of. */
struct place_of {
    int64_t swatch;
    size_t place;
};

static int by_swatch(const void *left, const void *right)
{
    const struct place_of *a = left, *b = right;
    int order = (a->swatch > b->swatch) - (a->swatch < b->swatch);

    return order ? order : (a->place > b->place) - (a->place < b->place);
}

static int by_id(const void *left, const void *right)
{
    const struct drying_swatch *const *a = left, *const *b = right;

    return ((*a)->kept->swatch_id > (*b)->kept->swatch_id) -
           ((*a)->kept->swatch_id < (*b)->kept->swatch_id);
}

static int by_place(const void *left, const void *right)
{
    const struct drying_swatch *a = left, *b = right;
    int order = strcmp(a->kept->ink, b->kept->ink);

    if (!order)
        order = strcmp(a->kept->chart, b->kept->chart);
    if (!order)
        order = (int)(a->kept->swatch_id > b->kept->swatch_id) -
                (int)(a->kept->swatch_id < b->kept->swatch_id);
    return order;
}

/* The readings' places, swatch by swatch. */
static enum status sort_places(struct drying_loading *loading, struct error *error)
{
    const struct inventory_readings *all = loading->all;
    struct place_of *sorted = memory_array(all->count, sizeof *sorted, "the readings", error);

    loading->places = memory_array(all->count, sizeof *loading->places, "the readings", error);
    if (!sorted || !loading->places) {
        free(sorted);
        return error->status;
    }
    for (size_t i = 0; i < all->count; i++)
        sorted[i] = (struct place_of){all->items[i].swatch_id, i};
    if (all->count)
        qsort(sorted, all->count, sizeof *sorted, by_swatch);
    for (size_t i = 0; i < all->count; i++)
        loading->places[i] = sorted[i].place;
    free(sorted);
    return STATUS_OK;
}

/* The first reading of a run that the question asks for; NULL: none. */
static const struct inventory_reading *asked_for(const struct drying_loading *loading,
                                                 const struct dried_question *question, size_t from,
                                                 size_t to)
{
    const struct inventory_reading *first = NULL;
    size_t passing = 0;

    for (size_t i = from; i < to; i++) {
        const struct inventory_reading *kept = &loading->all->items[loading->places[i]];

        if (!kept_passes(question->filter, kept))
            continue;
        first = first ? first : kept;
        passing++;
    }
    if (question->fits_only && (passing < 2 || to - from < DRYING_READINGS_MIN))
        return NULL;
    return first;
}

static void find_swatches(const struct drying_loading *loading,
                          const struct dried_question *question, struct drying_set *set)
{
    const struct inventory_readings *all = loading->all;

    for (size_t from = 0, to; from < all->count; from = to) {
        int64_t swatch = all->items[loading->places[from]].swatch_id;
        const struct inventory_reading *kept;

        for (to = from + 1; to < all->count; to++)
            if (all->items[loading->places[to]].swatch_id != swatch)
                break;
        kept = swatch ? asked_for(loading, question, from, to) : NULL;
        if (kept)
            set->swatches[set->count++] =
                (struct drying_swatch){.kept = kept, .places_from = from, .places_to = to};
    }
    if (set->count)
        qsort(set->swatches, set->count, sizeof *set->swatches, by_place);
}

/* Whether a swatch of the chart is asked for; without an ink named, every chart may be. */
static bool is_chart_asked(const struct dried_question *question, const struct drying_set *set,
                           const char *chart)
{
    bool asked = !question->filter || !question->filter->ink;

    for (size_t i = 0; !asked && i < set->count; i++)
        asked = strcmp(set->swatches[i].kept->chart, chart) == 0;
    return asked;
}

/* Let one swatch tell how well its readings state their errors. */
static enum status hear_swatch(struct drying_loading *loading, struct drying_set *set, size_t from,
                               size_t to, struct error *error)
{
    struct drying_swatch swatch = {
        .kept = &loading->all->items[loading->places[from]], .places_from = from, .places_to = to};
    size_t read = set->reading_count;
    struct drying_noise noise;
    enum status status;

    steady_swatch(loading, set, &swatch);
    status = drying_noise_of(set->steadied + swatch.first, swatch.count, &noise, error);
    set->reading_count = read; /* its readings are not the set's */
    return status || !(noise.ratio > 0)
               ? status
               : chart_noise_add(&loading->noises, swatch.kept->chart, &noise, error);
}

/* Let all swatches of the charts asked for tell it. */
static enum status hear_charts(struct drying_loading *loading,
                               const struct dried_question *question, struct drying_set *set,
                               struct error *error)
{
    const struct inventory_readings *all = loading->all;
    enum status status = STATUS_OK;

    for (size_t from = 0, to; !status && from < all->count; from = to) {
        const struct inventory_reading *kept = &all->items[loading->places[from]];

        for (to = from + 1; to < all->count; to++)
            if (all->items[loading->places[to]].swatch_id != kept->swatch_id)
                break;
        if (kept->swatch_id && to - from >= DRYING_READINGS_MIN &&
            is_chart_asked(question, set, kept->chart))
            status = hear_swatch(loading, set, from, to, error);
    }
    chart_noise_settle(&loading->noises);
    return status;
}

static enum status index_swatches(struct drying_set *set, struct error *error)
{
    set->by_id = memory_array(set->count, sizeof *set->by_id, "the swatches", error);
    if (!set->by_id)
        return error->status;
    for (size_t i = 0; i < set->count; i++)
        set->by_id[i] = &set->swatches[i];
    if (set->count)
        qsort(set->by_id, set->count, sizeof *set->by_id, by_id);
    return STATUS_OK;
}

static enum status make_room(struct drying_loading *loading, struct drying_set *set,
                             struct error *error)
{
    size_t count = loading->all->count;

    loading->controls = memory_array(2 * count, sizeof *loading->controls, "the readings", error);
    set->swatches = memory_array(count, sizeof *set->swatches, "the swatches", error);
    set->readings = memory_array(count, sizeof *set->readings, "the readings", error);
    set->steadied = memory_array(count, sizeof *set->steadied, "the readings", error);
    return loading->controls && set->swatches && set->readings && set->steadied ? STATUS_OK
                                                                                : error->status;
}

enum status dried_load(const struct inventory_readings *all, const struct dried_question *question,
                       struct drying_set *set, struct error *error)
{
    struct drying_loading loading = {.all = all};
    enum status status;

    memset(set, 0, sizeof *set);
    status = make_room(&loading, set, error);
    if (!status)
        status = sort_places(&loading, error);
    if (!status)
        find_swatches(&loading, question, set);
    if (!status)
        status = hear_charts(&loading, question, set, error);
    for (size_t i = 0; !status && i < set->count; i++)
        status = fit_swatch(&loading, set, &set->swatches[i], error);
    if (!status)
        status = index_swatches(set, error);
    chart_noise_release(&loading.noises);
    free(loading.controls);
    free(loading.places);
    if (status)
        dried_release(set);
    return status;
}

void dried_release(struct drying_set *set)
{
    free(set->swatches);
    free(set->by_id);
    free(set->readings);
    free(set->steadied);
    memset(set, 0, sizeof *set);
}

/* --- what the fits say ---------------------------------------------------------------------- */

/* A swatch that does not move while it would dry is dry. */
static bool is_unmoved_for_long(const struct drying *drying)
{
    return drying->state == DRYING_UNMOVED && drying->last_s >= UNMOVED_LONG_S;
}

bool dried_settled_from(const struct drying *drying, int64_t *settled_s)
{
    bool moved = drying->fitted && drying->state != DRYING_UNMOVED &&
                 (drying->state != DRYING_FADING || drying->settled_s.high > 0);
    bool told = (moved && isfinite(drying->settled_s.high)) || is_unmoved_for_long(drying);

    *settled_s = told ? drying->origin_s + (int64_t)drying->settled_s.high : 0;
    return told;
}

const struct drying_swatch *dried_find(const struct drying_set *set, int64_t swatch)
{
    size_t low = 0, high = set->count;

    while (low < high) {
        size_t middle = (low + high) / 2;

        if (set->by_id[middle]->kept->swatch_id < swatch)
            low = middle + 1;
        else
            high = middle;
    }
    return low < set->count && set->by_id[low]->kept->swatch_id == swatch ? set->by_id[low] : NULL;
}

void dried_note(const struct drying_set *set, struct observation *observation)
{
    const struct drying_swatch *swatch = dried_find(set, observation->swatch);

    if (swatch)
        observation->settled_known = dried_settled_from(&swatch->drying, &observation->settled_s);
}
