#include "questions/cover_task.h"

#include "base/memory.h"
#include "prices.h"
#include "owned.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* --- what is owned -------------------------------------------------------------------------- */

static enum status read_owned(const char *path, const struct measured_range *measured,
                              enum cover_role *roles, struct error *error)
{
    bool *owned = memory_array(measured->count + 1, sizeof *owned, "the inks owned", error);
    enum status status = owned ? owned_read(path, measured, owned, error) : error->status;

    for (size_t i = 0; !status && i < measured->count; i++)
        roles[i] = owned[i] ? COVER_OWNED : roles[i];
    free(owned);
    return status;
}

/* --- the task ------------------------------------------------------------------------------- */

static enum status set_role(const struct cover_names *names, enum cover_role role,
                            const struct measured_range *measured, enum cover_role *roles,
                            struct error *error)
{
    enum status status = STATUS_OK;

    for (int i = 0; !status && i < names->count; i++) {
        size_t place = 0;

        status = owned_find(measured, names->words[i], &place, error);
        if (!status && roles[place] != COVER_FREE && roles[place] != role)
            status = error_set(error, STATUS_USAGE,
                               "'%s' is owned, or told both --must and --never; tell one",
                               names->words[i]);
        else if (!status)
            roles[place] = role;
    }
    return status;
}

static enum status refuse_priceless(const struct cover_job *job, const char *path,
                                    struct error *error)
{
    for (size_t i = 0; job->price && i < job->task.count; i++)
        if (job->roles[i] == COVER_MUST && !isfinite(job->price[i]))
            return error_set(error, STATUS_USAGE,
                             "'%s' must be bought, but %s tells no price of it",
                             job->task.inks[i].name, path);
    return STATUS_OK;
}

static enum status fill_job(const struct cover_wishes *wishes,
                            const struct measured_range *measured, struct cover_job *job,
                            struct error *error)
{
    enum status status = STATUS_OK;

    if (wishes->own)
        status = read_owned(wishes->own, measured, job->roles, error);
    if (!status)
        status = set_role(&wishes->must, COVER_MUST, measured, job->roles, error);
    if (!status)
        status = set_role(&wishes->never, COVER_NEVER, measured, job->roles, error);
    if (!status && wishes->cost)
        status = prices_read(wishes->cost, measured, job->price, error);
    if (!status)
        status = refuse_priceless(job, wishes->cost, error);
    return status;
}

enum status cover_job_create(const struct cover_wishes *wishes,
                             const struct measured_range *measured, struct cover_job *job,
                             struct error *error)
{
    enum status status = STATUS_OK;

    memset(job, 0, sizeof *job);
    job->roles = memory_array(measured->count, sizeof *job->roles, "the inks' roles", error);
    if (wishes->cost)
        job->price = memory_array(measured->count, sizeof *job->price, "the prices", error);
    if (!job->roles || (wishes->cost && !job->price))
        status = error->status;
    job->task.inks = measured->inks;
    job->task.count = measured->count;
    job->task.roles = job->roles;
    job->task.price = job->price;
    if (!status)
        status = fill_job(wishes, measured, job, error);
    if (status)
        cover_job_release(job);
    return status;
}

void cover_job_release(struct cover_job *job)
{
    free(job->roles);
    free(job->price);
    memset(job, 0, sizeof *job);
}
