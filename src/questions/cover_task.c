#include "questions/cover_task.h"

#include "base/memory.h"
#include "files/csv.h"
#include "prices.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define LIST_BYTES_MAX ((size_t)1024 * 1024)

static enum status find_ink(const struct measured_range *measured, const char *name, size_t *place,
                            struct error *error)
{
    const struct range_ink *ink = NULL;
    enum status status = measured_range_find(measured, name, &ink, error);

    if (status)
        return status;
    if (ink < measured->inks || ink >= measured->inks + measured->count)
        return error_set(error, STATUS_INVENTORY,
                         "'%s' is the thin part of an ink, not one to own or buy", name);
    *place = (size_t)(ink - measured->inks);
    return STATUS_OK;
}

/* Put the file's name before what is wrong with a name in it. */
static enum status blame_file(const char *path, size_t line, struct error *error)
{
    struct error inner = *error;

    return error_set(error, inner.status, "%s: row %zu: %s", path, line, inner.message);
}

/* --- what is owned -------------------------------------------------------------------------- */

static enum status read_owned(const char *path, const struct measured_range *measured,
                              enum cover_role *roles, struct error *error)
{
    const struct csv_source source = {path, "list of inks owned", LIST_BYTES_MAX};
    struct csv csv = {0};
    enum status status = csv_read(&source, &csv, error);

    for (size_t line = 1; !status && line <= csv.line_count; line++) {
        char *name = csv_field(&csv, line, 1);
        size_t place = 0;

        csv_tidy(name);
        if (!name[0] || (line == 1 && prices_is_header(&csv)))
            continue;
        status = find_ink(measured, name, &place, error);
        if (status)
            blame_file(path, line, error);
        else
            roles[place] = COVER_OWNED;
    }
    csv_release(&csv);
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

        status = find_ink(measured, names->words[i], &place, error);
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
