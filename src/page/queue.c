#include "queue.h"

#include "base/memory.h"

#include <pthread.h>
#include <stdlib.h>

struct queue {
    pthread_mutex_t turn;
};

enum status queue_create(struct queue **queue, struct error *error)
{
    *queue = memory_array(1, sizeof **queue, "the page", error);
    if (!*queue)
        return error->status;
    pthread_mutex_init(&(*queue)->turn, NULL);
    return STATUS_OK;
}

void queue_release(struct queue *queue)
{
    if (queue)
        pthread_mutex_destroy(&queue->turn);
    free(queue);
}

void queue_enter(struct queue *queue)
{
    pthread_mutex_lock(&queue->turn);
}

void queue_leave(struct queue *queue)
{
    pthread_mutex_unlock(&queue->turn);
}
