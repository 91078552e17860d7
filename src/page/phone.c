#include "phone.h"

#include "base/memory.h"
#include "queue.h"

#include <stdlib.h>
#include <string.h>

struct phone {
    struct queue *looking; /* at the state, for no longer than that takes */
    struct queue *moving;  /* opening or shutting; no request by the door waits for this */
    struct page_door door;
    struct phone_state state;
};

enum status phone_create(struct phone **phone, struct error *error)
{
    enum status status;

    *phone = memory_array(1, sizeof **phone, "the door for a phone", error);
    if (!*phone)
        return error->status;
    status = queue_create(&(*phone)->looking, error);
    if (!status)
        status = queue_create(&(*phone)->moving, error);
    if (status) {
        phone_release(*phone);
        *phone = NULL;
    }
    return status;
}

void phone_release(struct phone *phone)
{
    if (!phone)
        return;
    queue_release(phone->looking);
    queue_release(phone->moving);
    free(phone);
}

void phone_hang(struct phone *phone, const struct page_door *door)
{
    phone->door = *door;
}

void phone_look(struct phone *phone, struct phone_state *state)
{
    queue_enter(phone->looking);
    *state = phone->state;
    queue_leave(phone->looking);
    state->count =
        phone->door.networks ? phone->door.networks(phone->door.data, state->networks) : 0;
}

/* Whoever is let in now is asked for the new secret. */
static void set_state(struct phone *phone, const struct phone_state *state)
{
    queue_enter(phone->looking);
    phone->state = *state;
    queue_leave(phone->looking);
}

static void shut(struct phone *phone)
{
    static const struct phone_state none;
    bool was_open = phone->state.open;

    set_state(phone, &none);
    if (was_open)
        phone->door.shut(phone->door.data);
}

static bool is_ours(const struct phone_state *state, const char *address)
{
    for (int i = 0; i < state->count; i++)
        if (strcmp(state->networks[i].address, address) == 0)
            return true;
    return false;
}

static enum status open_door(struct phone *phone, const char *address, long long now_s,
                             struct error *error)
{
    struct phone_state state = {.open = true, .shuts_s = now_s + PHONE_OPEN_S};
    int port = 0;
    enum status status = secret_fill(state.way + 1, SECRET_SIZE, error);

    state.way[0] = '/';
    if (!status)
        status = secret_fill(state.pass, SECRET_SIZE, error);
    shut(phone);
    if (!status)
        status = phone->door.open(phone->door.data, address, &port, error);
    if (status)
        return status;
    snprintf(state.host, sizeof state.host, "%.50s:%d", address, port);
    set_state(phone, &state);
    return STATUS_OK;
}

enum status phone_open(struct phone *phone, const char *address, long long now_s,
                       struct error *error)
{
    struct phone_state state;
    enum status status;

    phone_look(phone, &state);
    if (!is_ours(&state, address))
        return error_set(error, STATUS_USAGE,
                         "'%.50s' is no address of this computer any more; look again which "
                         "networks it is in",
                         address);
    queue_enter(phone->moving);
    status = open_door(phone, address, now_s, error);
    queue_leave(phone->moving);
    return status;
}

void phone_shut(struct phone *phone)
{
    queue_enter(phone->moving);
    shut(phone);
    queue_leave(phone->moving);
}

void phone_shut_in_time(struct phone *phone, long long now_s)
{
    queue_enter(phone->moving);
    if (phone->state.open && now_s >= phone->state.shuts_s)
        shut(phone);
    queue_leave(phone->moving);
}

bool phone_take(struct phone *phone, const char *way)
{
    bool first;

    queue_enter(phone->looking);
    first = phone->state.open && !phone->state.taken && strcmp(phone->state.way, way) == 0;
    phone->state.taken |= first;
    queue_leave(phone->looking);
    return first;
}

void phone_count(struct phone *phone)
{
    queue_enter(phone->looking);
    phone->state.came++;
    queue_leave(phone->looking);
}
