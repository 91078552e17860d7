#ifndef WOAD_PAGE_QUEUE_H
#define WOAD_PAGE_QUEUE_H

#include "base/error.h"

/* One at a time: requests that would else do heavy work side by side wait for one another. */
struct queue; /* opaque: its members are in queue.c */

/**
 * A queue that nobody stands in.
 *
 * Owns:    the caller releases it with queue_release.
 * Returns: STATUS_OK; STATUS_MEMORY.
 */
MUST_USE enum status queue_create(struct queue **queue, struct error *error);
void queue_release(struct queue *queue);

void queue_enter(struct queue *queue);
void queue_leave(struct queue *queue);

#endif
