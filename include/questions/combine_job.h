#ifndef WOAD_QUESTIONS_COMBINE_JOB_H
#define WOAD_QUESTIONS_COMBINE_JOB_H

/* What to blend next: asked with a few wishes, answered with all that the answer rests on. */

#include "questions/blend_log.h"

struct combine_wishes {
    const char *ink; /* one that has to be in it; NULL: any */
    enum combine_mood mood;
    size_t colours; /* 3 or 4 */
    size_t count;   /* how many to propose */
    bool like_log;  /* also those much like one that was made */
};

struct combine_job {
    const char *own; /* the file that names the inks owned; NULL: any ink of the range will do */
    struct measured_range measured;
    struct blend_log log;
    struct combine_task task;     /* of the range's inks with a colour */
    struct combine_answer answer; /* empty until proposed */
};

/**
 * Load the range and what was made and measured of blends (`given` NULL: the usual inventory), of
 * the inks owned alone where `own` names a list of them.
 *
 * Owns:    the caller releases `job` with combine_job_release, also on failure.
 * Returns: STATUS_OK; as measured_range_load, owned_keep and blend_log_load.
 */
MUST_USE enum status combine_job_load(const char *given, const char *own, struct combine_job *job,
                                      struct error *error);
void combine_job_release(struct combine_job *job);

/**
 * Propose combinations. Without an ink to begin with, each begins with another: first those that
 * are in no combination yet, each as far as can be from those before it.
 *
 * Returns: STATUS_OK, also with fewer than wanted or none; STATUS_USAGE for the thin part of an
 *          ink; STATUS_INVENTORY for one that is not there or has no colour; STATUS_MEMORY.
 */
MUST_USE enum status combine_job_propose(struct combine_job *job,
                                         const struct combine_wishes *wishes, struct error *error);

/**
 * Find inks by their names among the task's.
 *
 * Returns: STATUS_OK; STATUS_USAGE; STATUS_INVENTORY.
 */
MUST_USE enum status combine_job_find(const struct combine_job *job, const char *name, size_t *ink,
                                      struct error *error);

/**
 * Forecast two inks blended half way.
 *
 * Returns: STATUS_OK; STATUS_MEMORY.
 */
MUST_USE enum status combine_job_half_way(const struct combine_job *job, size_t first,
                                          size_t second, struct blend_forecast *forecast,
                                          struct error *error);

/** The radius of an ink's own colour, delta E 2000, from its covariances. */
double combine_job_u95(const struct range_ink *ink);

#endif
