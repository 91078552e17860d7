#include "base/utf8.h"
#include "output/view_phone.h"
#include "phone.h"
#include "values/calendar.h"
#include "visit.h"

#include <stdlib.h>
#include <string.h>

#define PHONE_COOKIE "woad-phone"

static const char used[] = "This code has been used already. Show a new one on the computer.\n";

/* --- on this machine -------------------------------------------------------------------------- */

static enum status show(struct visit *visit, const struct phone_state *state, struct error *error)
{
    struct view_network networks[PAGE_NETWORKS_MAX];
    char address[PAGE_HOST_SIZE + PHONE_WAY_SIZE + sizeof "http://"], host[PAGE_HOST_SIZE];
    struct view_phone shown = {networks, state->count, NULL, NULL, 0, state->came};

    for (int i = 0; i < state->count; i++)
        networks[i] =
            (struct view_network){state->networks[i].address, state->networks[i].interface};
    if (state->open) {
        snprintf(address, sizeof address, "http://%s%s", state->host, state->way);
        shown.address = address;
        snprintf(host, sizeof host, "%.*s", (int)strcspn(state->host, ":"), state->host);
        shown.network = host;
        shown.minutes = (int)((state->shuts_s - visit_now_s(visit->page) + 59) / 60);
    }
    return view_phone(visit->out, &visit->frame, &shown, error);
}

enum status visit_phone(struct visit *visit, struct error *error)
{
    struct phone_state state;
    enum status status;

    phone_shut_in_time(visit->page->phone, visit_now_s(visit->page));
    phone_look(visit->page->phone, &state);
    visit->frame.here = "/photos";
    status = visit_begin(visit, "Photos from a phone", error);
    if (!status)
        status = show(visit, &state, error);
    if (!status)
        visit_end(visit);
    return status;
}

enum status visit_move_phone(struct visit *visit, struct error *error)
{
    enum status status = STATUS_OK;

    if (strcmp(fields_value(&visit->form, "do"), "open") == 0)
        status = phone_open(visit->page->phone, fields_value(&visit->form, "address"),
                            visit_now_s(visit->page), error);
    else
        phone_shut(visit->page->phone);
    if (!status)
        visit_go(visit, "/phone");
    return status;
}

/* How many have come, and nothing once it is shut: asked every other second. */
enum status visit_came(struct visit *visit, struct error *error)
{
    struct phone_state state;

    (void)error;
    phone_look(visit->page->phone, &state);
    visit->response->type = "text/plain; charset=utf-8";
    if (state.open)
        fprintf(visit->out, "%d", state.came);
    return STATUS_OK;
}

/* --- by the door ------------------------------------------------------------------------------ */

enum status visit_sending(struct visit *visit, struct error *error)
{
    struct phone_state state;

    (void)error;
    phone_look(visit->page->phone, &state);
    if (phone_take(visit->page->phone, state.way))
        snprintf(visit->response->cookie, sizeof visit->response->cookie,
                 PHONE_COOKIE "=%s; Path=%s; HttpOnly; SameSite=Strict", state.pass, state.way);
    else if (!visit_has_cookie(visit->request, PHONE_COOKIE, state.pass)) {
        visit_refuse(visit->response, 403, used); /* another was quicker */
        return STATUS_OK;
    }
    view_sending(visit->out, state.way);
    return STATUS_OK;
}

/* The time it takes tells nothing of the secret. */
static bool knows_way(const char *target, const struct phone_state *state)
{
    char given[SECRET_SIZE];

    snprintf(given, sizeof given, "%.*s", SECRET_SIZE - 1, target[0] == '/' ? target + 1 : "");
    return secret_is(given, state->way + 1);
}

/* Whoever sees the code later, or the address on its way, is another browser. */
static bool is_its_browser(const struct phone_state *state, const struct page_request *request)
{
    bool asks = strcmp(request->method, "GET") == 0 && strlen(request->target) < PHONE_WAY_SIZE;

    return visit_has_cookie(request, PHONE_COOKIE, state->pass) || (asks && !state->taken);
}

const char *visit_by_phone(const struct page *page, const struct page_request *request,
                           struct page_response *response)
{
    struct phone_state state;

    phone_look(page->phone, &state);
    if (!state.open || visit_now_s(page) >= state.shuts_s)
        visit_refuse(response, 410, "This is shut. Open it anew on the computer.\n");
    else if (!request->host || strcmp(request->host, state.host) != 0)
        visit_refuse(response, 421, "This address is not served here.\n");
    else if (!knows_way(request->target, &state))
        visit_refuse(response, 404, "There is nothing here.\n");
    else if (!is_its_browser(&state, request))
        visit_refuse(response, 403, used);
    else
        return request->target + PHONE_WAY_SIZE - 1;
    return NULL;
}
