#include "look.h"

#include "base/memory.h"
#include "inventory/revision.h"
#include "queue.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

struct look {
    struct queue *queue; /* entered from look_at to look_away */
    char revision[INVENTORY_REVISION_SIZE];
    struct overview overview;
};

enum status look_create(struct look **look, struct error *error)
{
    *look = memory_array(1, sizeof **look, "the range", error);
    if (!*look)
        return error->status;
    return queue_create(&(*look)->queue, error);
}

void look_release(struct look *look)
{
    if (!look)
        return;
    overview_release(&look->overview);
    queue_release(look->queue);
    free(look);
}

static enum status look_again(struct look *look, const char *inventory_path, const char *revision,
                              struct error *error)
{
    enum status status;

    overview_release(&look->overview);
    look->revision[0] = '\0';
    status = overview_load(inventory_path, NULL, &look->overview, error);
    if (!status)
        snprintf(look->revision, sizeof look->revision, "%s", revision);
    return status;
}

enum status look_at(struct look *look, const char *inventory_path, const char *revision,
                    struct overview **overview, struct error *error)
{
    enum status status = STATUS_OK;

    queue_enter(look->queue);
    if (strcmp(look->revision, revision) != 0)
        status = look_again(look, inventory_path, revision, error);
    *overview = &look->overview;
    if (status)
        queue_leave(look->queue);
    return status;
}

void look_away(struct look *look)
{
    queue_leave(look->queue);
}
