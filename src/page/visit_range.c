#include "output/view_answers.h"
#include "visit.h"

#include <string.h>

/* The range as a wall, and one ink of it. */

enum status visit_wall(struct visit *visit, struct error *error)
{
    const char *find = fields_value(&visit->query, "find");
    struct overview *overview = NULL;
    enum status status;

    visit->frame.here = "/";
    visit->frame.remark =
        "Screens show colours nearly; a tile with a cut corner is more vivid than "
        "they can. The numbers are what was measured.";
    visit_command(visit, "order");
    status = visit_begin(visit, "The range", error);
    if (!status)
        status = look_at(visit->page->look, visit->page->inventory_path, visit->revision, &overview,
                         error);
    if (status)
        return status;
    view_wall(visit->out, &visit->frame, overview, find);
    look_away(visit->page->look);
    visit_end(visit);
    return STATUS_OK;
}

static enum status read_revision(struct visit *visit, struct error *error)
{
    struct inventory *inventory = NULL;
    enum status status =
        inventory_open(visit->page->inventory_path, INVENTORY_READ, &inventory, error);

    if (!status)
        status = inventory_revision(inventory, visit->revision, error);
    inventory_close(inventory);
    return status;
}

/* The wall links here while it is in the rough order, and is returned to once it is in the fine
 * one. */
enum status visit_order(struct visit *visit, struct error *error)
{
    enum status status = read_revision(visit, error);

    if (!status)
        status =
            look_finely(visit->page->look, visit->page->inventory_path, visit->revision, error);
    if (!status)
        visit_go(visit, "/");
    return status;
}

static enum status read_past(const struct visit *visit, const char *name, struct ink_past *past,
                             struct error *error)
{
    struct inventory *inventory = NULL;
    enum status status =
        inventory_open(visit->page->inventory_path, INVENTORY_READ, &inventory, error);

    if (!status)
        status = ink_past_load(inventory, name, past, error);
    inventory_close(inventory);
    return status;
}

static enum status write_ink(struct visit *visit, struct overview *overview, const char *name,
                             struct error *error)
{
    struct ink_past past = {.batch_count = 0};
    size_t place;
    enum status status;

    if (!overview_find(overview, name, &place))
        return error_set(error, STATUS_INVENTORY, "there is no ink '%.120s' with a colour", name);
    status = overview_find_standins(overview, place, error);
    if (!status)
        status = read_past(visit, name, &past, error);
    if (!status) {
        const struct view_past seen = {name, &past};

        view_ink(visit->out, &visit->frame, overview, place);
        view_past(visit->out, &visit->frame, overview, &seen);
        view_mending(visit->out, &visit->frame, overview, name);
    }
    ink_past_release(&past);
    return status;
}

enum status visit_ink(struct visit *visit, struct error *error)
{
    const char *name = fields_value(&visit->query, "name");
    struct overview *overview = NULL;
    enum status status;

    visit_command(visit, "near");
    visit_command(visit, name);
    status = visit_begin(visit, name, error);
    if (!status)
        status = look_at(visit->page->look, visit->page->inventory_path, visit->revision, &overview,
                         error);
    if (status)
        return status;
    status = write_ink(visit, overview, name, error);
    look_away(visit->page->look);
    if (!status)
        visit_end(visit);
    return status;
}

enum status visit_revision(struct visit *visit, struct error *error)
{
    enum status status = read_revision(visit, error);

    if (status)
        return status;
    visit->response->type = "text/plain; charset=utf-8";
    fputs(visit->revision, visit->out);
    return STATUS_OK;
}
