#include "visit.h"

#include "inventory/changes.h"

/* What was set right, and taking it back. */

enum status visit_history(struct visit *visit, struct error *error)
{
    struct inventory *inventory = NULL;
    struct inventory_changes changes = {0};
    enum status status;

    visit->frame.here = "/history";
    visit_command(visit, "history");
    status = visit_begin(visit, "Setting right", error);
    if (!status)
        status = inventory_open(visit->page->inventory_path, INVENTORY_READ, &inventory, error);
    if (!status)
        status = inventory_read_changes(inventory, &changes, error);
    inventory_close(inventory);
    if (!status) {
        view_changes(visit->out, &changes);
        visit_end(visit);
    }
    inventory_changes_release(&changes);
    return status;
}

enum status visit_undo(struct visit *visit, struct error *error)
{
    struct inventory *inventory = NULL;
    struct inventory_told told;
    enum status status =
        inventory_open(visit->page->inventory_path, INVENTORY_WRITE, &inventory, error);

    if (!status)
        status = inventory_undo(inventory, &told, error);
    inventory_close(inventory);
    if (!status)
        visit_go(visit, "/history");
    return status;
}
