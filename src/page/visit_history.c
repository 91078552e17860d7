#include "inventory/backup.h"
#include "inventory/changes.h"
#include "tray.h"
#include "values/calendar.h"
#include "visit.h"

#include <string.h>

/* What was changed, what can be set right, and taking it back. */

/* --- inks ------------------------------------------------------------------------------------- */

enum status visit_mend_ink(struct visit *visit, struct error *error)
{
    const char *name = fields_value(&visit->query, "name");
    const char *deed = fields_value(&visit->form, "do");
    const char *to = fields_value(&visit->form, "to");
    struct inventory *inventory = NULL;
    struct inventory_told told;
    enum status status = visit_open_to_change(visit, &inventory, error);

    if (!status && strcmp(deed, "rename") == 0 && !to[0])
        status = error_set(error, STATUS_USAGE, "the new name is empty");
    else if (!status && strcmp(deed, "rename") == 0)
        status = inventory_rename(inventory, name, to, &told, error);
    else if (!status && strcmp(deed, "merge") == 0)
        status = inventory_merge(inventory, name, to, &told, error);
    else if (!status && strcmp(deed, "forget") == 0)
        status = inventory_forget(inventory, INVENTORY_INK, name, &told, error);
    inventory_close(inventory);
    if (!status)
        visit_go(visit, "/history");
    return status;
}

/* --- photos ----------------------------------------------------------------------------------- */

static enum status read_time(const struct visit *visit, const char *name, struct photo_time *time,
                             struct error *error)
{
    const char *text = fields_value(&visit->form, name);

    *time = (struct photo_time){.source = PHOTO_TIME_NONE};
    return text[0] ? calendar_parse(text, time, error) : STATUS_OK;
}

static enum status amend(const struct visit *visit, struct inventory *inventory,
                         struct inventory_told *told, struct error *error)
{
    const char *batch = fields_value(&visit->form, "batch");
    const char *paper = fields_value(&visit->form, "paper");
    struct inventory_amendment amendment = {.thing = INVENTORY_PHOTO,
                                            .name = fields_value(&visit->form, "photo"),
                                            .batch = batch[0] ? batch : NULL,
                                            .paper = paper[0] ? paper : NULL};
    enum status status = read_time(visit, "inked_at", &amendment.inked_at, error);

    if (!status)
        status = read_time(visit, "at", &amendment.taken, error);
    return status ? status : inventory_amend(inventory, &amendment, told, error);
}

enum status visit_mend_photo(struct visit *visit, struct error *error)
{
    const char *deed = fields_value(&visit->form, "do");
    struct inventory *inventory = NULL;
    struct inventory_told told;
    enum status status = visit_open_to_change(visit, &inventory, error);

    if (!status && strcmp(deed, "amend") == 0)
        status = amend(visit, inventory, &told, error);
    else if (!status && strcmp(deed, "forget") == 0)
        status = inventory_forget(inventory, INVENTORY_PHOTO, fields_value(&visit->form, "photo"),
                                  &told, error);
    inventory_close(inventory);
    if (!status)
        visit_go(visit, "/history");
    return status;
}

/* --- the view --------------------------------------------------------------------------------- */

static enum status write_history(struct visit *visit, struct inventory *inventory,
                                 struct error *error)
{
    struct inventory_changes changes = {0};
    struct inventory_readings readings = {0};
    enum status status = inventory_read_changes(inventory, &changes, error);

    if (!status)
        status = inventory_read_readings(inventory, NULL, &readings, error);
    if (!status) {
        view_changes(visit->out, &changes);
        view_kept_photos(visit->out, &visit->frame, &readings);
    }
    inventory_readings_release(&readings);
    inventory_changes_release(&changes);
    return status;
}

enum status visit_history(struct visit *visit, struct error *error)
{
    struct inventory *inventory = NULL;
    enum status status;

    visit->frame.here = "/history";
    visit_command(visit, "history");
    status = visit_begin(visit, "Setting right", error);
    if (!status)
        status = inventory_open(visit->page->inventory_path, INVENTORY_READ, &inventory, error);
    if (!status)
        status = write_history(visit, inventory, error);
    inventory_close(inventory);
    if (!status)
        visit_end(visit);
    return status;
}

enum status visit_undo(struct visit *visit, struct error *error)
{
    struct inventory *inventory = NULL;
    struct inventory_told told;
    enum status status = visit_open_to_change(visit, &inventory, error);

    if (!status)
        status = inventory_undo(inventory, &told, error);
    inventory_close(inventory);
    if (!status)
        visit_go(visit, "/history");
    return status;
}

/* --- the whole of it -------------------------------------------------------------------------- */

enum status visit_backup(struct visit *visit, struct error *error)
{
    char id[TRAY_ID_SIZE], path[TRAY_PATH_SIZE];
    const struct photo_time now = calendar_now();
    char day[CALENDAR_TEXT_SIZE];
    struct inventory *inventory = NULL;
    enum status status = tray_new(visit->page->inventory_path, id, error);

    if (status)
        return status;
    tray_path(visit->page->inventory_path, id, "db", path);
    calendar_format(&now, day);
    status = inventory_open(visit->page->inventory_path, INVENTORY_READ, &inventory, error);
    if (!status)
        status = inventory_backup(inventory, path, error);
    if (!status)
        status = visit_send_file(visit, path, "application/vnd.sqlite3", error);
    inventory_close(inventory);
    tray_drop(visit->page->inventory_path, id);
    snprintf(visit->response->download, sizeof visit->response->download, "woad-%.10s.db", day);
    return status;
}
