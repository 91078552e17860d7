#include "drying_load.h"

#include "analysis/settled.h"
#include "base/memory.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define UNMOVED_LONG_S 3600       /* no source */
#define PAPER_OWN_VARIANCE 0.0025 /* Lab squared; the paper is sampled in very many places */

/* All readings, and room for the controls of one swatch. */
struct drying_loading {
    const struct inventory_readings *all;
    struct observation *controls;
    size_t control_count;
};

/* Whether a photo measured again has a later measurement of the same cell. */
static bool is_superseded(const struct inventory_readings *all,
                          const struct inventory_reading *kept)
{
    for (size_t i = 0; i < all->count; i++) {
        const struct inventory_reading *other = &all->items[i];

        if (other->take > kept->take && other->swatch_id == kept->swatch_id &&
            strcmp(other->hash, kept->hash) == 0)
            return true;
    }
    return false;
}

/* --- what did not move ---------------------------------------------------------------------- */

static bool is_in_photos(const struct observation *readings, size_t count, int64_t photo)
{
    for (size_t i = 0; i < count; i++)
        if (readings[i].photo == photo)
            return true;
    return false;
}

static bool is_unmoved(const struct inventory_reading *kept)
{
    struct observation observation = range_observation(kept);

    if (kept->reading.found == CELL_EMPTY)
        return true;
    return kept->reading.found == CELL_INK && !observation.faulty &&
           observation_age_s(&observation) >= SETTLED_AGE_S;
}

static void add_control(struct drying_loading *loading, const struct inventory_reading *kept)
{
    struct observation *control = &loading->controls[loading->control_count++];

    *control = range_observation(kept);
    if (kept->reading.found == CELL_EMPTY) /* the blank cells have no swatch: tell them by place */
        control->swatch = -1 - kept->reading.row * 1000 - kept->reading.column;
}

/* The bare paper of a photo, with the shared error that a cell of the photo states. */
static void add_paper(struct drying_loading *loading, const struct inventory_reading *kept)
{
    struct observation *control = &loading->controls[loading->control_count++];

    *control = range_observation(kept);
    control->lab = kept->photo_paper;
    control->swatch = 0;
    memset(control->covariance_own, 0, sizeof control->covariance_own);
    for (int i = 0; i < 3; i++)
        control->covariance_own[4 * i] = PAPER_OWN_VARIANCE;
}

static bool has_paper(const struct drying_loading *loading, int64_t photo)
{
    for (size_t i = 0; i < loading->control_count; i++)
        if (loading->controls[i].swatch == 0 && loading->controls[i].photo == photo)
            return true;
    return false;
}

static void gather_controls(struct drying_loading *loading, const struct observation *readings,
                            size_t count)
{
    loading->control_count = 0;
    for (size_t i = 0; i < loading->all->count; i++) {
        const struct inventory_reading *kept = &loading->all->items[i];

        if (!is_in_photos(readings, count, kept->photo_id) || kept->swatch_id == readings->swatch)
            continue;
        if (is_unmoved(kept))
            add_control(loading, kept);
        if (!has_paper(loading, kept->photo_id))
            add_paper(loading, kept);
    }
    observation_sort(loading->controls, loading->control_count);
}

/* --- one swatch ----------------------------------------------------------------------------- */

static void gather_readings(const struct inventory_readings *all, struct drying_set *set,
                            struct drying_swatch *swatch)
{
    swatch->first = set->reading_count;
    for (size_t i = 0; i < all->count; i++) {
        const struct inventory_reading *kept = &all->items[i];

        if (kept->swatch_id != swatch->kept->swatch_id || kept->reading.found != CELL_INK ||
            is_superseded(all, kept))
            continue;
        if (kept->taken.source == PHOTO_TIME_NONE)
            swatch->undated = true;
        else
            set->readings[set->reading_count++] = range_observation(kept);
    }
    swatch->count = set->reading_count - swatch->first;
    memcpy(set->steadied + swatch->first, set->readings + swatch->first,
           swatch->count * sizeof *set->readings);
}

static enum status fit_swatch(struct drying_loading *loading, struct drying_set *set,
                              struct drying_swatch *swatch, struct error *error)
{
    struct observation *steadied;

    gather_readings(loading->all, set, swatch);
    steadied = set->steadied + swatch->first;
    if (swatch->count) {
        gather_controls(loading, steadied, swatch->count);
        swatch->steady =
            steady_take_off(steadied, swatch->count, loading->controls, loading->control_count);
    }
    return drying_fit(steadied, swatch->count, &swatch->drying, error);
}

/* --- all of them ---------------------------------------------------------------------------- */

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

static void find_swatches(const struct inventory_readings *all, const struct range_filter *filter,
                          struct drying_set *set)
{
    for (size_t i = 0; i < all->count; i++) {
        bool known = false;

        if (!range_lets_pass(filter, &all->items[i]))
            continue;
        for (size_t j = 0; !known && j < set->count; j++)
            known = set->swatches[j].kept->swatch_id == all->items[i].swatch_id;
        if (!known)
            set->swatches[set->count++].kept = &all->items[i];
    }
    if (set->count)
        qsort(set->swatches, set->count, sizeof *set->swatches, by_place);
}

enum status drying_load(const struct inventory_readings *all, const struct range_filter *filter,
                        struct drying_set *set, struct error *error)
{
    struct drying_loading loading = {.all = all};
    enum status status = STATUS_OK;

    memset(set, 0, sizeof *set);
    loading.controls =
        memory_array(2 * all->count, sizeof *loading.controls, "the readings", error);
    set->swatches = memory_array(all->count, sizeof *set->swatches, "the swatches", error);
    set->readings = memory_array(all->count, sizeof *set->readings, "the readings", error);
    set->steadied = memory_array(all->count, sizeof *set->steadied, "the readings", error);
    if (!loading.controls || !set->swatches || !set->readings || !set->steadied)
        status = error->status;
    if (!status)
        find_swatches(all, filter, set);
    for (size_t i = 0; !status && i < set->count; i++)
        status = fit_swatch(&loading, set, &set->swatches[i], error);
    free(loading.controls);
    if (status)
        drying_release(set);
    return status;
}

void drying_release(struct drying_set *set)
{
    free(set->swatches);
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

bool drying_settled_from(const struct drying *drying, int64_t *settled_s)
{
    bool moved = drying->fitted && drying->state != DRYING_UNMOVED &&
                 (drying->state != DRYING_FADING || drying->settled_s.high > 0);
    bool told = (moved && isfinite(drying->settled_s.high)) || is_unmoved_for_long(drying);

    *settled_s = told ? drying->origin_s + (int64_t)drying->settled_s.high : 0;
    return told;
}

void drying_note_settled(const struct drying_set *set, struct observation *observation)
{
    for (size_t i = 0; i < set->count; i++)
        if (set->swatches[i].kept->swatch_id == observation->swatch)
            observation->settled_known =
                drying_settled_from(&set->swatches[i].drying, &observation->settled_s);
}
