#include "page/page.h"

#include "base/memory.h"
#include "files/photo_limits.h"
#include "output/assets.h"
#include "tray.h"
#include "visit.h"

#include <errno.h>
#include <stdlib.h>
#include <string.h>

#define FORM_BYTES_MAX (1024LL * 1024)

const struct page_header page_headers[] = {
    {"Content-Security-Policy", "default-src 'self'; frame-ancestors 'none'; base-uri 'none'; "
                                "form-action 'self'; object-src 'none'"},
    {"X-Content-Type-Options", "nosniff"},
    {"Referrer-Policy", "no-referrer"},
    {"Cross-Origin-Resource-Policy", "same-origin"},
    {"Cross-Origin-Opener-Policy", "same-origin"},
    {0}};

/* --- making ----------------------------------------------------------------------------------- */

static enum status fill_tokens(struct page *page, struct error *error)
{
    enum status status = secret_fill(page->opening, sizeof page->opening, error);

    if (!status)
        status = secret_fill(page->cookie, sizeof page->cookie, error);
    return status ? status : secret_fill(page->form, sizeof page->form, error);
}

enum status page_create(const struct page_settings *settings, struct page **page,
                        struct error *error)
{
    enum status status;

    *page = memory_array(1, sizeof **page, "the page", error);
    if (!*page)
        return error->status;
    (*page)->settings = *settings;
    snprintf((*page)->inventory_path, INVENTORY_PATH_SIZE, "%s", settings->inventory_path);
    status = fill_tokens(*page, error);
    if (!status)
        status = look_create(&(*page)->look, error);
    if (!status)
        status = queue_create(&(*page)->measuring, error);
    if (!status)
        status = phone_create(&(*page)->phone, error);
    if (!status) {
        tray_tidy((*page)->inventory_path);
        return STATUS_OK;
    }
    page_release(*page);
    *page = NULL;
    return status;
}

void page_release(struct page *page)
{
    if (!page)
        return;
    phone_release(page->phone);
    look_release(page->look);
    queue_release(page->measuring);
    free(page);
}

void page_hang_door(struct page *page, const struct page_door *door)
{
    phone_hang(page->phone, door);
}

void page_tick(struct page *page)
{
    phone_shut_in_time(page->phone, visit_now_s(page));
}

void page_address(const struct page *page, char address[PAGE_ADDRESS_SIZE])
{
    snprintf(address, PAGE_ADDRESS_SIZE, "http://127.0.0.1:%d/open?token=%s", page->settings.port,
             page->opening);
}

/* --- what is where ---------------------------------------------------------------------------- */

static const struct route {
    const char *method;
    const char *path;
    enum page_body body;
    visit_answer *answer;
} routes[] = {{"GET", "/", PAGE_BODY_NONE, visit_wall},
              {"GET", "/order", PAGE_BODY_NONE, visit_order},
              {"GET", "/ink", PAGE_BODY_NONE, visit_ink},
              {"POST", "/ink", PAGE_BODY_MEMORY, visit_mend_ink},
              {"POST", "/history", PAGE_BODY_MEMORY, visit_mend_photo},
              {"GET", "/backup", PAGE_BODY_NONE, visit_backup},
              {"GET", "/buy", PAGE_BODY_NONE, visit_buy},
              {"GET", "/blends", PAGE_BODY_NONE, visit_blends},
              {"POST", "/blends", PAGE_BODY_MEMORY, visit_log},
              {"GET", "/batches", PAGE_BODY_NONE, visit_batches},
              {"GET", "/maps", PAGE_BODY_NONE, visit_maps},
              {"GET", "/sheets", PAGE_BODY_NONE, visit_sheets},
              {"GET", "/sheet-picture", PAGE_BODY_NONE, visit_sheet_picture},
              {"POST", "/sheet", PAGE_BODY_MEMORY, visit_sheet},
              {"GET", "/revision", PAGE_BODY_NONE, visit_revision},
              {"GET", "/history", PAGE_BODY_NONE, visit_history},
              {"POST", "/undo", PAGE_BODY_MEMORY, visit_undo},
              {"GET", "/photos", PAGE_BODY_NONE, visit_photos},
              {"POST", "/photos", PAGE_BODY_MEMORY, visit_clear},
              {"PUT", "/photo", PAGE_BODY_FILE, visit_take},
              {"GET", "/photo", PAGE_BODY_NONE, visit_photo},
              {"POST", "/photo", PAGE_BODY_MEMORY, visit_tell},
              {"GET", "/picture", PAGE_BODY_NONE, visit_picture},
              {"GET", "/phone", PAGE_BODY_NONE, visit_phone},
              {"POST", "/phone", PAGE_BODY_MEMORY, visit_move_phone},
              {"GET", "/came", PAGE_BODY_NONE, visit_came}};

/* All that there is behind the door for a phone. */
static const struct route sending = {"GET", "", PAGE_BODY_NONE, visit_sending};
static const struct route taking = {"PUT", "/photo", PAGE_BODY_FILE, visit_take};
static const char *const phone_assets[] = {"/style.css", "/phone.js", "/icon.svg"};

/* A HEAD is a GET whose body stays behind. */
static const char *method_of(const struct page_request *request)
{
    return strcmp(request->method, "HEAD") == 0 ? "GET" : request->method;
}

/* The route of a request; else NULL, and `known` tells whether its path has another method. */
static const struct route *find_route(const struct page_request *request, bool *known)
{
    size_t length = strcspn(request->target, "?");

    *known = false;
    for (size_t i = 0; i < sizeof routes / sizeof *routes; i++) {
        if (strlen(routes[i].path) != length ||
            strncmp(routes[i].path, request->target, length) != 0)
            continue;
        if (strcmp(routes[i].method, method_of(request)) == 0)
            return &routes[i];
        *known = true;
    }
    return NULL;
}

/* Style and script, by their own names. */
static bool answer_asset(const struct page_request *request, const char *target,
                         struct page_response *response)
{
    const struct asset *asset = target[0] == '/' ? asset_find(target + 1) : NULL;
    struct error error;

    if (!asset || strcmp(method_of(request), "GET") != 0)
        return false;
    response->body = memory_array(asset->length, 1, "style and script", &error);
    if (!response->body)
        return false;
    memcpy(response->body, asset->bytes, asset->length);
    response->length = asset->length;
    response->status = 200;
    response->type = asset->type;
    return true;
}

/* --- before the body is read ------------------------------------------------------------------ */

/* A body that does not say how long it is might never end. */
static enum page_body admit_body(const struct page_request *request, enum page_body body,
                                 struct page_response *response)
{
    long long most = body == PAGE_BODY_FILE ? PHOTO_FILE_BYTES_MAX : FORM_BYTES_MAX;

    if (request->body_length < 0)
        visit_refuse(response, 411, "What is sent has to say how long it is.\n");
    else if (request->body_length > most)
        visit_refuse(response, 413,
                     body == PAGE_BODY_FILE ? "A photo of more than 256 MB is not taken.\n"
                                            : "This is more than a form holds.\n");
    else
        return body;
    return PAGE_BODY_REFUSED;
}

static const struct route *phone_route(const struct page_request *request, const char *rest)
{
    if (strcmp(request->method, "PUT") == 0)
        return strncmp(rest, "/photo?", 7) == 0 ? &taking : NULL;
    return strcmp(method_of(request), "GET") == 0 && !rest[0] ? &sending : NULL;
}

static enum page_body admit_phone(struct page *page, const struct page_request *request,
                                  struct page_response *response)
{
    const char *rest = visit_by_phone(page, request, response);

    if (!rest)
        return PAGE_BODY_REFUSED;
    if (phone_route(request, rest) == &taking)
        return admit_body(request, PAGE_BODY_FILE, response);
    if (request->body_length <= 0)
        return PAGE_BODY_NONE;
    visit_refuse(response, 405, "Nothing can be sent there.\n");
    return PAGE_BODY_REFUSED;
}

enum page_body page_admit(struct page *page, const struct page_request *request,
                          struct page_response *response)
{
    bool known;
    const struct route *route = find_route(request, &known);
    enum page_body body = route ? route->body : PAGE_BODY_NONE;

    *response = (struct page_response){.status = 0};
    if (request->by_phone)
        return admit_phone(page, request, response);
    if (!visit_is_ours(page, request, response))
        return PAGE_BODY_REFUSED;
    if (body == PAGE_BODY_NONE && request->body_length > 0) {
        visit_refuse(response, known ? 405 : 413, "Nothing can be sent there.\n");
        return PAGE_BODY_REFUSED;
    }
    if (body == PAGE_BODY_FILE && !visit_may_change(page, request, NULL, response))
        return PAGE_BODY_REFUSED;
    return body == PAGE_BODY_NONE ? body : admit_body(request, body, response);
}

bool page_open_photo(struct page *page, const struct page_request *request,
                     char photo[PAGE_PHOTO_SIZE], FILE **file, struct page_response *response)
{
    struct error error;

    if (!tray_open(page->inventory_path, request->body_length, photo, file, &error))
        return true;
    visit_refuse(response, 507, error.message);
    return false;
}

void page_drop_photo(struct page *page, const char *photo)
{
    tray_drop(page->inventory_path, photo);
}

/* --- answering -------------------------------------------------------------------------------- */

/* What a fault is to HTTP. */
static int status_of(enum status status)
{
    switch (status) {
    case STATUS_USAGE:
    case STATUS_FORMAT:
        return 400;
    case STATUS_NOT_FOUND:
    case STATUS_QUALITY:
        return 422;
    case STATUS_INVENTORY:
        return 409;
    default:
        return 500;
    }
}

/* Nothing of what was written before the fault is sent. */
static void write_fault(struct visit *visit, const struct error *error)
{
    const struct view_frame frame = {.title = "That did not work", .served = true};

    rewind(visit->out);
    visit->response->status = status_of(error->status);
    view_begin(visit->out, &frame);
    view_message(visit->out, error->message);
    view_end(visit->out, &frame);
}

static void release_visit(struct visit *visit)
{
    fields_release(&visit->query);
    fields_release(&visit->form);
    text_release(&visit->command);
    free(visit->undo);
}

static void answer_visit(struct visit *visit, const struct route *route)
{
    struct page_response *response = visit->response;
    struct error error;
    enum status status = route->answer(visit, &error);

    response->type = response->type ? response->type : "text/html; charset=utf-8";
    response->status = response->status ? response->status : 200;
    if (status)
        write_fault(visit, &error);
}

/* Read what the request tells; then let the route answer. */
static void answer_route(struct visit *visit, const struct route *route)
{
    const struct page_request *request = visit->request;
    const char *query = strchr(request->target, '?');
    struct error error;
    enum status status =
        fields_read(query ? query + 1 : NULL, query ? strlen(query + 1) : 0, &visit->query, &error);

    if (!status && route->body == PAGE_BODY_MEMORY)
        status = fields_read(request->body, (size_t)request->body_length, &visit->form, &error);
    if (status)
        visit_refuse(visit->response, 400, error.message);
    else if (route->body == PAGE_BODY_NONE || request->by_phone ||
             visit_may_change(visit->page, request, &visit->form, visit->response))
        answer_visit(visit, route);
}

static void answer(struct page *page, const struct page_request *request, const struct route *route,
                   struct page_response *response)
{
    struct visit visit = {.page = page, .request = request, .response = response};
    char *body = NULL;
    size_t length = 0;

    visit.out = open_memstream(&body, &length);
    if (!visit.out) {
        visit_refuse(response, 500, "There is not enough memory.\n");
        return;
    }
    answer_route(&visit, route);
    release_visit(&visit);
    if (fclose(visit.out) != 0)
        visit_refuse(response, 500, "There is not enough memory.\n");
    if (response->body) {
        free(body);
        return;
    }
    response->body = body;
    response->length = length;
}

/* What is asked by the door for a phone gets nothing else than the two routes and their assets. */
static void answer_phone(struct page *page, const struct page_request *request,
                         struct page_response *response)
{
    const char *rest = visit_by_phone(page, request, response);
    const struct route *route = rest ? phone_route(request, rest) : NULL;

    for (size_t i = 0; rest && i < sizeof phone_assets / sizeof *phone_assets; i++)
        if (strcmp(rest, phone_assets[i]) == 0 && answer_asset(request, rest, response))
            return;
    if (route)
        answer(page, request, route, response);
    else if (rest)
        visit_refuse(response, 404, "There is nothing here.\n");
}

void page_answer(struct page *page, const struct page_request *request,
                 struct page_response *response)
{
    bool known;
    const struct route *route = find_route(request, &known);

    *response = (struct page_response){.status = 0};
    if (request->by_phone) {
        answer_phone(page, request, response);
        return;
    }
    if (!visit_is_ours(page, request, response) || answer_asset(request, request->target, response))
        return;
    if (route)
        answer(page, request, route, response);
    else if (known)
        visit_refuse(response, 405, "That can't be done there.\n");
    else
        visit_refuse(response, 404, "There is no such view.\n");
}
