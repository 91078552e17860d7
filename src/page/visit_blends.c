#include "base/utf8.h"
#include "output/view_answers.h"
#include "values/calendar.h"
#include "visit.h"

#include <stdlib.h>
#include <string.h>

/* What to blend next, what one's own choice may give, and what was made. */

#define PROPOSALS 5
#define COLOURS_USUAL 3
#define NAME_SIZE 8

static struct combine_wishes wishes_of(const struct visit *visit)
{
    const char *ink = fields_value(&visit->query, "ink");
    const char *mood = fields_value(&visit->query, "mood");

    return (struct combine_wishes){
        .ink = ink[0] ? ink : NULL,
        .mood = strcmp(mood, "contrast") == 0 ? COMBINE_CONTRAST : COMBINE_TONAL,
        .colours = strcmp(fields_value(&visit->query, "colours"), "4") == 0 ? 4 : COLOURS_USUAL,
        .count = PROPOSALS};
}

static void tell_blending(struct visit *visit, const struct combine_wishes *wishes)
{
    visit_command(visit, "combine");
    if (wishes->ink)
        visit_command(visit, wishes->ink);
    visit_command(visit, "--colours");
    visit_command(visit, wishes->colours == 4 ? "4" : "3");
    visit_command(visit, "--mood");
    visit_command(visit, wishes->mood == COMBINE_CONTRAST ? "contrast" : "tonal");
}

/* The value of "own1", "own2" and so on. */
static const char *numbered(const struct fields *fields, const char *name, size_t number)
{
    char numbered[NAME_SIZE];

    snprintf(numbered, sizeof numbered, "%.4s%zu", name, number % 10);
    return fields_value(fields, numbered);
}

static enum status forecast_own(const struct visit *visit, const struct combine_job *job,
                                size_t own[COMBINE_COLOURS_MOST], size_t *count,
                                struct blend_forecast half_way[COMBINE_COLOURS_MOST],
                                struct error *error)
{
    enum status status = STATUS_OK;

    *count = 0;
    for (size_t i = 1; !status && i <= COMBINE_COLOURS_MOST; i++) {
        const char *name = numbered(&visit->query, "own", i);

        if (!name[0])
            continue;
        status = combine_job_find(job, name, &own[*count], error);
        if (!status && *count > 0)
            status = combine_job_half_way(job, own[*count - 1], own[*count], &half_way[*count - 1],
                                          error);
        *count += !status;
    }
    return status;
}

static enum status write_blends(struct visit *visit, const struct combine_wishes *wishes,
                                struct combine_job *job, struct error *error)
{
    size_t own[COMBINE_COLOURS_MOST], count = 0;
    struct blend_forecast half_way[COMBINE_COLOURS_MOST];
    struct view_blends asked = {job, wishes, own, 0, half_way};
    enum status status = job->task.count ? combine_job_propose(job, wishes, error) : STATUS_OK;

    if (!status)
        status = forecast_own(visit, job, own, &count, half_way, error);
    asked.own_count = count;
    if (!status)
        view_blends(visit->out, &visit->frame, &asked);
    return status;
}

enum status visit_blends(struct visit *visit, struct error *error)
{
    struct combine_wishes wishes = wishes_of(visit);
    struct combine_job job = {.task = {.count = 0}};
    enum status status;

    visit->frame.here = "/blends";
    visit->frame.remark = "Screens show colours nearly, and a forecast of a blend is a forecast.";
    tell_blending(visit, &wishes);
    status = visit_begin(visit, "What to blend next", error);
    if (!status)
        status = combine_job_load(visit->page->inventory_path, NULL, &job, error);
    if (!status)
        status = write_blends(visit, &wishes, &job, error);
    combine_job_release(&job);
    if (!status)
        visit_end(visit);
    return status;
}

/* --- the log ---------------------------------------------------------------------------------- */

static enum status add(const struct visit *visit, struct inventory *inventory, struct error *error)
{
    const char *mood = fields_value(&visit->form, "mood");
    bool known = strcmp(mood, "tonal") == 0 || strcmp(mood, "contrast") == 0;
    struct inventory_combination made = {.mood = known ? (char *)mood : NULL,
                                         .made = calendar_now()};
    enum status status;

    for (size_t i = 1; i <= COMBINE_COLOURS_MOST; i++) {
        const char *name = numbered(&visit->form, "ink", i);

        for (size_t k = 0; k < made.count; k++)
            if (utf8_same(made.inks[k], name))
                return error_set(error, STATUS_USAGE, "the ink '%.120s' is in it twice", name);
        if (name[0])
            made.inks[made.count++] = (char *)name;
    }
    if (made.count < COMBINATION_LEAST)
        return error_set(error, STATUS_USAGE, "a combination has two inks at least");
    status = inventory_refuse_logged(inventory, made.inks, made.count, error);
    return status ? status : inventory_add_combination(inventory, &made, error);
}

enum status visit_log(struct visit *visit, struct error *error)
{
    const char *deed = fields_value(&visit->form, "do");
    struct inventory *inventory = NULL;
    struct inventory_told told;
    enum status status = visit_open_to_change(visit, &inventory, error);

    if (!status && strcmp(deed, "add") == 0)
        status = add(visit, inventory, error);
    else if (!status && strcmp(deed, "forget") == 0)
        status = inventory_forget(inventory, INVENTORY_COMBINATION,
                                  fields_value(&visit->form, "number"), &told, error);
    inventory_close(inventory);
    if (!status)
        visit_go(visit, "/blends");
    return status;
}
