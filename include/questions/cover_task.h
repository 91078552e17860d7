#ifndef WOAD_QUESTIONS_COVER_TASK_H
#define WOAD_QUESTIONS_COVER_TASK_H

#include "analysis/cover.h"
#include "questions/measured_range.h"

/* Some inks by their names, borrowed. */
struct cover_names {
    const char *const *words;
    int count;
};

/* What a user tells of the inks to choose among. */
struct cover_wishes {
    const char *own;  /* a file of ink names; NULL: none */
    const char *cost; /* a file of ink names and prices; NULL: all alike */
    struct cover_names must;
    struct cover_names never;
};

/* The task with the arrays it points to. */
struct cover_job {
    struct cover_task task;
    enum cover_role *roles;
    double *price;
};

/**
 * Read what is owned, must, may and costs what into a task.
 *
 * Owns:    the caller releases `job` with cover_job_release; `measured` must outlive it.
 * Returns: STATUS_OK; STATUS_USAGE for wishes that gainsay each other;
 *          STATUS_FILE, STATUS_FORMAT; STATUS_INVENTORY for an ink that is
 *          not there or has no colour; STATUS_MEMORY.
 */
MUST_USE enum status cover_job_create(const struct cover_wishes *wishes,
                                      const struct measured_range *measured, struct cover_job *job,
                                      struct error *error);

void cover_job_release(struct cover_job *job);

#endif
