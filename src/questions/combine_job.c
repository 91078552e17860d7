#include "questions/combine_job.h"

#include "analysis/perceptual.h"
#include "base/memory.h"
#include "base/utf8.h"
#include "owned.h"
#include "values/linear.h"
#include "values/statistics.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define TRIES_EACH 4 /* beginnings looked at for each proposal wanted */

/* --- loading -------------------------------------------------------------------------------- */

enum status combine_job_load(const char *given, const char *own, struct combine_job *job,
                             struct error *error)
{
    enum status status;

    memset(job, 0, sizeof *job);
    job->own = own;
    status = measured_range_load(given, &job->measured, error);
    if (!status && own)
        status = owned_keep(own, &job->measured, error);
    if (!status)
        status = blend_log_load(given, &job->measured, &job->log, error);
    job->task = (struct combine_task){.inks = job->measured.inks,
                                      .count = job->measured.count,
                                      .tested = job->log.tested,
                                      .tested_count = job->log.tested_count,
                                      .untested = job->log.untested,
                                      .logged = job->log.logged,
                                      .logged_count = job->log.logged_count};
    return status;
}

void combine_job_release(struct combine_job *job)
{
    combine_release(&job->answer);
    blend_log_release(&job->log);
    measured_range_release(&job->measured);
}

enum status combine_job_find(const struct combine_job *job, const char *name, size_t *found,
                             struct error *error)
{
    const struct range_ink *ink = NULL;
    enum status status = measured_range_find(&job->measured, name, &ink, error);

    if (status)
        return status;
    if (ink < job->measured.inks || ink >= job->measured.inks + job->measured.count)
        return job->own ? error_set(error, STATUS_USAGE,
                                    "'%s' is not among the inks owned that %s names; leave --own "
                                    "out, or add it there",
                                    name, job->own)
                        : error_set(error, STATUS_USAGE,
                                    "'%s' is the thin part of an ink; name the ink itself", name);
    *found = (size_t)(ink - job->measured.inks);
    return STATUS_OK;
}

/* --- beginning with any --------------------------------------------------------------------- */

static bool is_logged(const struct inventory_combinations *made, const char *ink)
{
    for (size_t i = 0; i < made->count; i++)
        for (size_t k = 0; k < made->items[i].count; k++)
            if (utf8_same(made->items[i].inks[k], ink))
                return true;
    return false;
}

/* How far each ink is from those begun with, and whether it waits to be shown. */
struct beginning {
    double away;
    bool waits, used;
};

static size_t next_beginning(const struct beginning *beginnings, size_t count)
{
    size_t best = count;

    for (size_t i = 0; i < count; i++) {
        const struct beginning *one = &beginnings[i];

        if (one->used)
            continue;
        if (best == count || (one->waits && !beginnings[best].waits) ||
            (one->waits == beginnings[best].waits && one->away > beginnings[best].away))
            best = i;
    }
    return best;
}

static void begin_with(const struct combine_job *job, size_t ink, struct beginning *beginnings)
{
    beginnings[ink].used = true;
    for (size_t i = 0; i < job->task.count; i++)
        beginnings[i].away = fmin(beginnings[i].away, colour_delta_e_2000(job->task.inks[i].lab,
                                                                          job->task.inks[ink].lab));
}

static struct combination colours_of(const struct combine_job *job,
                                     const struct combine_proposal *proposal)
{
    struct combination colours = {.count = proposal->count};

    for (size_t i = 0; i < proposal->count; i++)
        colours.colours[i] = job->task.inks[proposal->inks[i]].lab;
    return colours;
}

static bool is_like_another(const struct combine_job *job, const struct combine_proposal *proposal)
{
    struct combination own = colours_of(job, proposal);

    for (size_t i = 0; i < job->answer.count; i++) {
        struct combination other = colours_of(job, &job->answer.proposals[i]);

        if (combination_distance(&own, &other) < COMBINE_UNLIKE)
            return true;
    }
    return false;
}

/* One proposal that begins with an ink, if there is one unlike those before it. */
static enum status add_one(struct combine_job *job, size_t ink, struct error *error)
{
    struct combine_task task = job->task;
    struct combine_answer one = {0};
    enum status status;

    task.focus = ink;
    task.wanted = 1;
    status = combine_propose(&task, &one, error);
    if (!status && one.count && !is_like_another(job, &one.proposals[0])) {
        job->answer.proposals[job->answer.count++] = one.proposals[0];
        job->answer.strict += one.strict;
    }
    if (!status) {
        job->answer.like_logged += one.like_logged;
        job->answer.first_logged = one.like_logged ? one.first_logged : job->answer.first_logged;
        job->answer.left_out = one.left_out;
    }
    combine_release(&one);
    return status;
}

static enum status propose_with_any(struct combine_job *job, struct error *error)
{
    size_t count = job->task.count, tries = TRIES_EACH * job->task.wanted;
    struct beginning *beginnings =
        memory_array(count + 1, sizeof *beginnings, "the beginnings", error);
    enum status status = STATUS_OK;

    if (!beginnings)
        return error->status;
    job->answer.proposals =
        memory_array(job->task.wanted + 1, sizeof *job->answer.proposals, "the proposals", error);
    if (!job->answer.proposals)
        status = error->status;
    for (size_t i = 0; i < count; i++) /* the most colourful begins */
        beginnings[i] =
            (struct beginning){.away = 1000 + colour_chroma(job->task.inks[i].lab),
                               .waits = !is_logged(&job->log.combinations, job->task.inks[i].name)};
    for (; !status && tries && job->answer.count < job->task.wanted; tries--) {
        size_t ink = next_beginning(beginnings, count);

        if (ink == count)
            break;
        begin_with(job, ink, beginnings);
        status = add_one(job, ink, error);
    }
    free(beginnings);
    return status;
}

enum status combine_job_propose(struct combine_job *job, const struct combine_wishes *wishes,
                                struct error *error)
{
    enum status status = STATUS_OK;

    job->task.colours = wishes->colours;
    job->task.mood = wishes->mood;
    job->task.wanted = wishes->count;
    job->task.unlike_log = !wishes->like_log;
    if (!wishes->ink)
        return propose_with_any(job, error);
    status = combine_job_find(job, wishes->ink, &job->task.focus, error);
    return status ? status : combine_propose(&job->task, &job->answer, error);
}

/* --- forecasts ------------------------------------------------------------------------------ */

double combine_job_u95(const struct range_ink *ink)
{
    double covariance[9], frame[9], seen[9], variances[3];

    for (int i = 0; i < 9; i++)
        covariance[i] = ink->covariance_shared[i] + ink->covariance_own[i];
    perceptual_frame(ink->lab, frame);
    linear_carry_3x3(frame, covariance, seen);
    linear_eigenvalues_3x3(seen, variances);
    return statistics_normal_radius(variances, 0.95);
}

enum status combine_job_half_way(const struct combine_job *job, size_t first, size_t second,
                                 struct blend_forecast *forecast, struct error *error)
{
    struct reflectance_observer observer = reflectance_observer_d50();
    struct blend_habit habit = combine_habit(&job->task, first, second);
    const size_t inks[2] = {first, second};
    struct blend_ink ready[2];
    enum status status = STATUS_OK;

    for (int i = 0; !status && i < 2; i++) {
        const struct range_ink *ink = &job->task.inks[inks[i]];

        status = blend_ink_prepare(&observer, ink->lab, combine_job_u95(ink), &ready[i], error);
    }
    if (!status)
        *forecast = blend_forecast_at(&observer, &ready[0], &ready[1], 0.5, &habit);
    return status;
}
