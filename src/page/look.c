#include "look.h"

#include "base/memory.h"
#include "inventory/revision.h"
#include "queue.h"

#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

struct look {
    struct queue *queue;    /* entered from look_at to look_away */
    struct queue *ordering; /* entered while the range is put in order, which takes seconds */
    char revision[INVENTORY_REVISION_SIZE];
    struct overview overview;
};

enum status look_create(struct look **look, struct error *error)
{
    *look = memory_array(1, sizeof **look, "the range", error);
    if (!*look)
        return error->status;
    if (queue_create(&(*look)->queue, error))
        return error->status;
    return queue_create(&(*look)->ordering, error);
}

void look_release(struct look *look)
{
    if (!look)
        return;
    overview_release(&look->overview);
    queue_release(look->queue);
    queue_release(look->ordering);
    free(look);
}

static enum status look_again(struct look *look, const char *inventory_path, const char *revision,
                              struct error *error)
{
    enum status status;

    overview_release(&look->overview);
    look->revision[0] = '\0';
    status = overview_load(inventory_path, NULL, LOOK_FINELY_MAX, &look->overview, error);
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

static bool is_fine(struct look *look, const char *revision)
{
    bool fine;

    queue_enter(look->queue);
    fine = strcmp(look->revision, revision) == 0 && !look->overview.ordered.rough;
    queue_leave(look->queue);
    return fine;
}

/* Whoever looks at the range meanwhile sees it in the rough order. */
static enum status order_finely(struct look *look, const char *inventory_path, const char *revision,
                                struct error *error)
{
    struct overview fine = {.count = 0};
    enum status status = overview_load(inventory_path, NULL, SIZE_MAX, &fine, error);

    if (status) {
        overview_release(&fine);
        return status;
    }
    queue_enter(look->queue);
    overview_release(&look->overview);
    look->overview = fine;
    snprintf(look->revision, sizeof look->revision, "%s", revision);
    queue_leave(look->queue);
    return STATUS_OK;
}

enum status look_finely(struct look *look, const char *inventory_path, const char *revision,
                        struct error *error)
{
    enum status status = STATUS_OK;

    queue_enter(look->ordering);
    if (!is_fine(look, revision))
        status = order_finely(look, inventory_path, revision, error);
    queue_leave(look->ordering);
    return status;
}
