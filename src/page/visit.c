#include "visit.h"

#include "inventory/changes.h"
#include "values/calendar.h"

#include <stdarg.h>
#include <stdlib.h>
#include <string.h>

void page_response_release(struct page_response *response)
{
    free(response->body);
    *response = (struct page_response){.status = 0};
}

/* --- who may ask ------------------------------------------------------------------------------ */

void visit_refuse(struct page_response *response, int status, const char *message)
{
    struct error error;

    page_response_release(response);
    response->status = status;
    response->type = "text/plain; charset=utf-8";
    response->body = text_copy(message, &error);
    response->length = response->body ? strlen(message) : 0;
}

/* A GET of a page that has made its name point here carries no Origin, but its own Host. */
static bool is_our_host(const struct page *page, const char *host)
{
    const char *const names[] = {"127.0.0.1", "localhost"};
    char ours[32];

    for (size_t i = 0; host && i < sizeof names / sizeof *names; i++) {
        snprintf(ours, sizeof ours, "%s:%d", names[i], page->settings.port);
        if (strcmp(host, ours) == 0)
            return true;
    }
    return false;
}

bool visit_has_cookie(const struct page_request *request, const char *name,
                      const char secret[SECRET_SIZE])
{
    const char *cookies = request->cookie;
    size_t length = strlen(name);
    char value[SECRET_SIZE];

    while (cookies && *cookies) {
        if (strncmp(cookies, name, length) == 0 && cookies[length] == '=') {
            cookies += length + 1;
            snprintf(value, sizeof value, "%.*s", (int)strcspn(cookies, "; "), cookies);
            return secret_is(value, secret);
        }
        cookies += strcspn(cookies, ";");
        cookies += strspn(cookies, "; ");
    }
    return false;
}

/* Cookies are not parted by ports, so that each port has a name of its own. */
static bool is_our_browser(const struct page *page, const struct page_request *request)
{
    char name[32];

    snprintf(name, sizeof name, "woad-%d", page->settings.port);
    return visit_has_cookie(request, name, page->cookie);
}

static bool opens(const struct page *page, const struct page_request *request,
                  struct page_response *response)
{
    static const char way[] = "/open?token=";

    if (strncmp(request->target, way, sizeof way - 1) != 0 ||
        !secret_is(request->target + sizeof way - 1, page->opening))
        return false;
    visit_refuse(response, 303, "");
    snprintf(response->location, sizeof response->location, "/");
    snprintf(response->cookie, sizeof response->cookie,
             "woad-%d=%s; Path=/; HttpOnly; SameSite=Strict", page->settings.port, page->cookie);
    return true;
}

bool visit_is_ours(const struct page *page, const struct page_request *request,
                   struct page_response *response)
{
    if (!is_our_host(page, request->host)) {
        visit_refuse(response, 421, "This address is not served here.\n");
        return false;
    }
    if (strcmp(request->method, "GET") == 0 && opens(page, request, response))
        return false;
    if (!is_our_browser(page, request)) {
        visit_refuse(response, 403,
                     "This page is open only to the browser that 'woad page' opened. Open it with "
                     "the address that the program printed.\n");
        return false;
    }
    return true;
}

bool visit_may_change(const struct page *page, const struct page_request *request,
                      const struct fields *form, struct page_response *response)
{
    if (secret_is(request->token, page->form) ||
        (form && secret_is(fields_value(form, "token"), page->form)))
        return true;
    visit_refuse(response, 403,
                 "This did not come from a view of this page. Go back, load the view again, and "
                 "repeat it.\n");
    return false;
}

long long visit_now_s(const struct page *page)
{
    return page->settings.now_s ? page->settings.now_s() : (long long)calendar_now().utc_seconds;
}

/* --- views ------------------------------------------------------------------------------------ */

static enum status read_undo(struct visit *visit, struct inventory *inventory, struct error *error)
{
    struct inventory_changes changes = {0};
    enum status status = inventory_read_changes(inventory, &changes, error);

    for (size_t i = 0; !status && i < changes.count && !visit->undo; i++)
        if (changes.items[i].undone.source == PHOTO_TIME_NONE) {
            visit->undo = text_copy(changes.items[i].told, error);
            status = visit->undo ? STATUS_OK : error->status;
        }
    inventory_changes_release(&changes);
    return status;
}

enum status visit_begin(struct visit *visit, const char *title, struct error *error)
{
    struct inventory *inventory = NULL;
    enum status status =
        inventory_open(visit->page->inventory_path, INVENTORY_READ, &inventory, error);

    if (!status)
        status = inventory_revision(inventory, visit->revision, error);
    if (!status)
        status = read_undo(visit, inventory, error);
    inventory_close(inventory);
    if (status)
        return status;
    visit->frame.title = title;
    visit->frame.served = true;
    visit->frame.token = visit->page->form;
    visit->frame.undo = visit->undo;
    visit->frame.revision = visit->revision;
    view_begin(visit->out, &visit->frame);
    return STATUS_OK;
}

void visit_end(struct visit *visit)
{
    visit->frame.command = visit->command.bytes;
    view_end(visit->out, &visit->frame);
}

enum status visit_open_to_change(const struct visit *visit, struct inventory **inventory,
                                 struct error *error)
{
    const char *shown = fields_value(&visit->form, "revision");
    char revision[INVENTORY_REVISION_SIZE];
    enum status status =
        inventory_open(visit->page->inventory_path, INVENTORY_WRITE, inventory, error);

    if (!status && shown[0])
        status = inventory_revision(*inventory, revision, error);
    if (!status && shown[0] && strcmp(shown, revision) != 0)
        status =
            error_set(error, STATUS_INVENTORY,
                      "the inventory has changed since this was shown, so nothing was done; go "
                      "back, look again, and repeat it");
    return status;
}

enum status visit_send_file(struct visit *visit, const char *path, const char *type,
                            struct error *error)
{
    char bytes[4096];
    size_t length;
    FILE *file = fopen(path, "rb");

    if (!file)
        return error_set(error, STATUS_FILE, "it is no longer here");
    while ((length = fread(bytes, 1, sizeof bytes, file)) > 0)
        fwrite(bytes, 1, length, visit->out);
    fclose(file);
    visit->response->type = type;
    return STATUS_OK;
}

void visit_go(struct visit *visit, const char *format, ...)
{
    va_list values;

    visit->response->status = 303;
    va_start(values, format);
    vsnprintf(visit->response->location, sizeof visit->response->location, format, values);
    va_end(values);
}

/* Words of these letters need no quotation marks. */
static const char plain_letters[] =
    "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789-_./,:=";

void visit_command(struct visit *visit, const char *word)
{
    struct error error;
    bool plain = word[0] && word[strspn(word, plain_letters)] == '\0';
    enum status status = text_add(&visit->command, &error, "%s%s",
                                  visit->command.length ? " " : "woad ", plain ? word : "'");

    for (; !status && !plain && *word; word++)
        status = text_add(&visit->command, &error, *word == '\'' ? "'\\''" : "%c", *word);
    if (!status && !plain)
        status = text_add(&visit->command, &error, "'");
    if (status) /* the view does without it */
        text_release(&visit->command);
}
