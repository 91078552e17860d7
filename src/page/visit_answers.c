#include "base/memory.h"
#include "output/view_answers.h"
#include "questions/cover_task.h"
#include "questions/families.h"
#include "visit.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* What is asked of the range: what to buy first, two batches, maps. */

#define PURCHASES_USUAL 6
#define PURCHASES_MAX 100
#define SECONDS_MAX 5 /* a view is not waited for longer */

static double number_of(const struct visit *visit, const char *name, double least, double most,
                        double usual)
{
    const char *text = fields_value(&visit->query, name);
    char *end;
    double number = strtod(text, &end);

    return end == text || *end || !(number >= least && number <= most) ? usual : number;
}

/* --- what to buy first ------------------------------------------------------------------------ */

static enum status choose(const struct measured_range *measured, const struct view_cover *asked,
                          struct cover *cover, struct error *error)
{
    const struct cover_wishes none = {.own = NULL};
    struct families families = {0};
    struct cover_job job = {0};
    enum status status;

    if (!measured->count)
        return STATUS_OK;
    status = families_create(measured, NULL, &families, error);
    if (!status)
        status = cover_job_create(&none, measured, &job, error);
    if (!status) {
        job.task.family = families.of_ink;
        job.task.families = families.count;
        job.task.seconds = SECONDS_MAX;
        status = cover_most(&job.task, (size_t)asked->number, asked->within, cover, error);
    }
    cover_job_release(&job);
    families_release(&families);
    return status;
}

static void tell_buying(struct visit *visit, const struct view_cover *asked)
{
    char number[16];

    visit_command(visit, "cover");
    visit_command(visit, "--count");
    snprintf(number, sizeof number, "%d", asked->number);
    visit_command(visit, number);
    visit_command(visit, "--within");
    snprintf(number, sizeof number, "%g", asked->within);
    visit_command(visit, number);
}

enum status visit_buy(struct visit *visit, struct error *error)
{
    struct measured_range measured = {.count = 0};
    struct cover cover = {0};
    struct view_cover asked = {
        .cover = &cover,
        .number = (int)number_of(visit, "count", 1, PURCHASES_MAX, PURCHASES_USUAL),
        .within = number_of(visit, "within", 0.5, 30, COVER_ACCEPTABLE)};
    enum status status;

    visit->frame.here = "/buy";
    tell_buying(visit, &asked);
    status = visit_begin(visit, "What to buy first", error);
    if (!status)
        status = measured_range_load(visit->page->inventory_path, &measured, error);
    if (!status)
        status = choose(&measured, &asked, &cover, error);
    asked.inks = measured.inks;
    if (!status) {
        view_cover(visit->out, &visit->frame, &asked);
        visit_end(visit);
    }
    cover_release(&cover);
    measured_range_release(&measured);
    return status;
}

/* --- two batches ------------------------------------------------------------------------------ */

static enum status compare(struct visit *visit, const struct inventory_readings *all,
                           struct view_batches *asked, struct error *error)
{
    const struct compare_question question = {NULL, true, {asked->name[0], asked->name[1]}};
    const struct batches_question judged = {.tolerance = BATCHES_TOLERANCE};
    struct compare_sides sides = {0};
    struct batches batches = {0};
    enum status status = compare_sides_load(all, &question, &sides, error);

    if (!status)
        status = compare_sides_judge(&sides, &judged, &batches, error);
    asked->sides = &sides;
    asked->batches = &batches;
    if (!status)
        view_batches(visit->out, asked);
    batches_release(&batches);
    compare_sides_release(&sides);
    return status;
}

static void tell_batches(struct visit *visit, const struct view_batches *asked)
{
    if (!asked->name[0][0])
        return;
    visit_command(visit, "compare");
    for (int i = 0; i < 2; i++) {
        visit_command(visit, "--batch");
        visit_command(visit, asked->name[i]);
    }
}

static enum status read_all(const struct visit *visit, struct inventory_readings *all,
                            struct error *error)
{
    struct inventory *inventory = NULL;
    enum status status =
        inventory_open(visit->page->inventory_path, INVENTORY_READ, &inventory, error);

    if (!status)
        status = inventory_read_readings(inventory, NULL, all, error);
    inventory_close(inventory);
    return status;
}

enum status visit_batches(struct visit *visit, struct error *error)
{
    char known[COMPARE_SIDES_LIST_SIZE] = "";
    struct inventory_readings all = {0};
    struct view_batches asked = {
        .known = known,
        .name = {fields_value(&visit->query, "old"), fields_value(&visit->query, "new")}};
    enum status status;

    visit->frame.here = "/batches";
    tell_batches(visit, &asked);
    status = visit_begin(visit, "Old batch and new", error);
    if (!status)
        status = read_all(visit, &all, error);
    if (!status)
        compare_sides_list(&all, true, known);
    if (!status && asked.name[0][0] && asked.name[1][0])
        status = compare(visit, &all, &asked, error);
    else if (!status)
        view_batches(visit->out, &asked);
    if (!status)
        visit_end(visit);
    inventory_readings_release(&all);
    return status;
}

/* --- maps ------------------------------------------------------------------------------------- */

enum status visit_maps(struct visit *visit, struct error *error)
{
    struct overview *overview = NULL;
    enum status status;

    visit->frame.here = "/maps";
    visit->frame.remark = "Around each dot, where its true colour lies with 95 % probability.";
    visit_command(visit, "inks");
    status = visit_begin(visit, "Maps of the range", error);
    if (!status)
        status = look_at(visit->page->look, visit->page->inventory_path, visit->revision, &overview,
                         error);
    if (status)
        return status;
    view_maps(visit->out, &visit->frame, overview);
    look_away(visit->page->look);
    visit_end(visit);
    return STATUS_OK;
}
