#include "page/server.h"

#include "base/memory.h"
#include "base/text.h"

#include <arpa/inet.h>
#include <errno.h>
#include <ifaddrs.h>
#include <microhttpd.h>
#include <netinet/in.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>
#include <sys/socket.h>
#include <unistd.h>

#define CONNECTIONS_MAX 64
#define PHONE_CONNECTIONS_MAX 8
#define IDLE_S_MAX 60 /* a client that sends or takes nothing for so long is let go */

/* A place to listen at. */
struct listener {
    int socket;
    bool for_phone;
    struct page *page;
    struct MHD_Daemon *daemon;
};

struct server {
    struct listener own;
    struct listener phone;
    char extra[PAGE_HOST_SIZE]; /* one more address that a phone may be told; empty: none */
};

/* A request while it comes in. */
struct exchange {
    char *target;
    bool begun; /* its head has been looked at */
    struct page_request request;
    enum page_body body;
    char *bytes; /* the body as far as it came, */
    FILE *file;  /* or the file of a photo */
    char photo[PAGE_PHOTO_SIZE];
    size_t length;
};

/* --- listening -------------------------------------------------------------------------------- */

/* Listen on an address; port 0 becomes the one that is taken. */
static enum status take_port(struct listener *listener, uint32_t host, int *port,
                             struct error *error)
{
    struct sockaddr_in address = {.sin_family = AF_INET, .sin_port = htons((uint16_t)*port)};
    socklen_t size = sizeof address;
    const int again = 1;

    address.sin_addr.s_addr = host;
    listener->socket = socket(AF_INET, SOCK_STREAM, 0);
    if (listener->socket >= 0)
        setsockopt(listener->socket, SOL_SOCKET, SO_REUSEADDR, &again, sizeof again);
    if (listener->socket < 0 || bind(listener->socket, (struct sockaddr *)&address, size) != 0 ||
        listen(listener->socket, CONNECTIONS_MAX) != 0 ||
        getsockname(listener->socket, (struct sockaddr *)&address, &size) != 0)
        return error_set(error, STATUS_FILE, "port %d of %s can't be listened on (%s)%s", *port,
                         inet_ntoa(address.sin_addr), strerror(errno),
                         *port ? "; leave --port out, and one that is free is taken" : "");
    *port = ntohs(address.sin_port);
    return STATUS_OK;
}

enum status server_listen(int *port, struct server **server, struct error *error)
{
    enum status status;

    *server = memory_array(1, sizeof **server, "the server", error);
    if (!*server)
        return error->status;
    (*server)->phone.socket = -1;
    status = take_port(&(*server)->own, htonl(INADDR_LOOPBACK), port, error);
    if (status) {
        server_end(*server);
        *server = NULL;
    }
    return status;
}

/* --- requests --------------------------------------------------------------------------------- */

/* The whole target, before the library takes it apart. */
static void *begin_exchange(void *data, const char *target, struct MHD_Connection *connection)
{
    struct error error;
    struct exchange *exchange = memory_array(1, sizeof *exchange, "a request", &error);

    (void)data;
    (void)connection;
    if (!exchange)
        return NULL;
    exchange->target = text_copy(target, &error);
    if (exchange->target)
        return exchange;
    free(exchange);
    return NULL;
}

static void end_exchange(void *data, struct MHD_Connection *connection, void **context,
                         enum MHD_RequestTerminationCode code)
{
    struct exchange *exchange = *context;
    const struct listener *listener = data;

    (void)connection;
    (void)code;
    if (!exchange)
        return;
    if (exchange->file) { /* the photo did not come whole */
        fclose(exchange->file);
        page_drop_photo(listener->page, exchange->photo);
    }
    free(exchange->target);
    free(exchange->bytes);
    free(exchange);
    *context = NULL;
}

static enum MHD_Result count_hosts(void *count, enum MHD_ValueKind kind, const char *name,
                                   const char *value)
{
    (void)kind;
    (void)value;
    *(int *)count += strcasecmp(name, MHD_HTTP_HEADER_HOST) == 0;
    return MHD_YES;
}

/* Two hosts are none. */
static const char *host_of(struct MHD_Connection *connection)
{
    int count = 0;

    MHD_get_connection_values(connection, MHD_HEADER_KIND, count_hosts, &count);
    return count == 1
               ? MHD_lookup_connection_value(connection, MHD_HEADER_KIND, MHD_HTTP_HEADER_HOST)
               : NULL;
}

static long long body_length_of(struct MHD_Connection *connection)
{
    const char *text =
        MHD_lookup_connection_value(connection, MHD_HEADER_KIND, MHD_HTTP_HEADER_CONTENT_LENGTH);
    char *end;
    long long length;

    if (!text)
        return -1;
    errno = 0;
    length = strtoll(text, &end, 10);
    return errno || end == text || *end || length < 0 ? -1 : length;
}

static void fill_request(const struct listener *listener, struct exchange *exchange,
                         struct MHD_Connection *connection, const char *method)
{
    exchange->request = (struct page_request){
        .method = method,
        .target = exchange->target,
        .host = host_of(connection),
        .cookie = MHD_lookup_connection_value(connection, MHD_HEADER_KIND, MHD_HTTP_HEADER_COOKIE),
        .token = MHD_lookup_connection_value(connection, MHD_HEADER_KIND, "Woad-Token"),
        .body_length = body_length_of(connection),
        .by_phone = listener->for_phone};
}

/* --- responses -------------------------------------------------------------------------------- */

static void add_headers(struct MHD_Response *made, const struct page_response *response)
{
    char disposition[128];

    for (const struct page_header *header = page_headers; header->name; header++)
        MHD_add_response_header(made, header->name, header->value);
    MHD_add_response_header(made, MHD_HTTP_HEADER_CACHE_CONTROL,
                            response->lasting ? "private, max-age=86400, immutable" : "no-store");
    if (response->type)
        MHD_add_response_header(made, MHD_HTTP_HEADER_CONTENT_TYPE, response->type);
    if (response->location[0])
        MHD_add_response_header(made, MHD_HTTP_HEADER_LOCATION, response->location);
    if (response->cookie[0])
        MHD_add_response_header(made, MHD_HTTP_HEADER_SET_COOKIE, response->cookie);
    if (response->download[0]) {
        snprintf(disposition, sizeof disposition, "attachment; filename=\"%s\"",
                 response->download);
        MHD_add_response_header(made, MHD_HTTP_HEADER_CONTENT_DISPOSITION, disposition);
    }
}

/* The body goes over to the library, which frees it. */
static enum MHD_Result send_response(struct MHD_Connection *connection,
                                     struct page_response *response)
{
    struct MHD_Response *made =
        MHD_create_response_from_buffer(response->length, response->body, MHD_RESPMEM_MUST_FREE);
    enum MHD_Result result;

    if (!made) {
        page_response_release(response);
        return MHD_NO;
    }
    add_headers(made, response);
    result = MHD_queue_response(connection, (unsigned)response->status, made);
    MHD_destroy_response(made);
    return result;
}

/* --- a request's way -------------------------------------------------------------------------- */

/* With the head: whoever is refused sends no body. */
static enum MHD_Result take_head(const struct listener *listener, struct exchange *exchange,
                                 struct MHD_Connection *connection)
{
    struct page_response response;
    struct error error;

    exchange->begun = true;
    exchange->body = page_admit(listener->page, &exchange->request, &response);
    if (exchange->body == PAGE_BODY_REFUSED)
        return send_response(connection, &response);
    if (exchange->body == PAGE_BODY_FILE &&
        !page_open_photo(listener->page, &exchange->request, exchange->photo, &exchange->file,
                         &response))
        return send_response(connection, &response);
    if (exchange->body == PAGE_BODY_MEMORY)
        exchange->bytes =
            memory_array((size_t)exchange->request.body_length + 1, 1, "a form", &error);
    return exchange->body == PAGE_BODY_MEMORY && !exchange->bytes ? MHD_NO : MHD_YES;
}

/* No more than was announced is taken. */
static enum MHD_Result take_bytes(struct exchange *exchange, const char *bytes, size_t *size)
{
    if (*size > (size_t)exchange->request.body_length - exchange->length)
        return MHD_NO;
    if (exchange->bytes)
        memcpy(exchange->bytes + exchange->length, bytes, *size);
    else if (!exchange->file || fwrite(bytes, 1, *size, exchange->file) != *size)
        return MHD_NO;
    exchange->length += *size;
    *size = 0;
    return MHD_YES;
}

/* A photo's file is complete and on the disk before it counts. */
static bool close_photo(struct exchange *exchange)
{
    bool sound = exchange->length == (size_t)exchange->request.body_length;

    sound = fflush(exchange->file) == 0 && sound;
    if (!sound)
        return false; /* it is closed and dropped with the exchange */
    fclose(exchange->file);
    exchange->file = NULL;
    exchange->request.photo = exchange->photo;
    return true;
}

static enum MHD_Result take_end(const struct listener *listener, struct exchange *exchange,
                                struct MHD_Connection *connection)
{
    struct page_response response;

    if (exchange->file && !close_photo(exchange))
        return MHD_NO;
    exchange->request.body = exchange->bytes;
    page_answer(listener->page, &exchange->request, &response);
    return send_response(connection, &response);
}

static enum MHD_Result handle(void *data, struct MHD_Connection *connection, const char *target,
                              const char *method, const char *version, const char *bytes,
                              size_t *size, void **context)
{
    struct exchange *exchange = *context;

    (void)target;
    (void)version;
    if (!exchange)
        return MHD_NO;
    if (!exchange->begun) {
        fill_request(data, exchange, connection, method);
        return take_head(data, exchange, connection);
    }
    return *size ? take_bytes(exchange, bytes, size) : take_end(data, exchange, connection);
}

/* --- listeners -------------------------------------------------------------------------------- */

static enum status begin(struct listener *listener, unsigned connections_max, struct error *error)
{
    listener->daemon = MHD_start_daemon(
        MHD_USE_INTERNAL_POLLING_THREAD | MHD_USE_THREAD_PER_CONNECTION | MHD_USE_POLL, 0, NULL,
        NULL, handle, listener, MHD_OPTION_LISTEN_SOCKET, listener->socket,
        MHD_OPTION_CONNECTION_LIMIT, connections_max, MHD_OPTION_CONNECTION_TIMEOUT,
        (unsigned)IDLE_S_MAX, MHD_OPTION_URI_LOG_CALLBACK, begin_exchange, NULL,
        MHD_OPTION_NOTIFY_COMPLETED, end_exchange, listener, MHD_OPTION_END);
    if (listener->daemon)
        return STATUS_OK;
    return error_set(error, STATUS_MEMORY, "the page's server can't be started (%s)",
                     strerror(errno));
}

static void end(struct listener *listener)
{
    if (listener->daemon)
        MHD_stop_daemon(listener->daemon);
    else if (listener->socket >= 0)
        close(listener->socket);
    listener->daemon = NULL;
    listener->socket = -1;
}

/* --- a door for a phone ----------------------------------------------------------------------- */

static void add_network(const char *address, const char *interface,
                        struct page_network networks[PAGE_NETWORKS_MAX], int *count)
{
    for (int i = 0; i < *count; i++)
        if (strcmp(networks[i].address, address) == 0)
            return;
    if (*count == PAGE_NETWORKS_MAX)
        return;
    snprintf(networks[*count].address, sizeof networks->address, "%s", address);
    snprintf(networks[(*count)++].interface, sizeof networks->interface, "%.31s", interface);
}

/* Those of the loopback are no phone's to reach. */
static int networks_of_machine(void *data, struct page_network networks[PAGE_NETWORKS_MAX])
{
    const struct server *server = data;
    struct ifaddrs *all = NULL;
    int count = 0;

    if (server->extra[0])
        add_network(server->extra, "", networks, &count);
    if (getifaddrs(&all) != 0)
        return count;
    for (const struct ifaddrs *one = all; one; one = one->ifa_next) {
        struct sockaddr_in address;
        char text[INET_ADDRSTRLEN];

        if (!one->ifa_addr || one->ifa_addr->sa_family != AF_INET)
            continue;
        memcpy(&address, one->ifa_addr, sizeof address);
        if (ntohl(address.sin_addr.s_addr) >> 24 != 127 &&
            inet_ntop(AF_INET, &address.sin_addr, text, sizeof text))
            add_network(text, one->ifa_name, networks, &count);
    }
    freeifaddrs(all);
    return count;
}

static enum status open_for_phone(void *data, const char *address, int *port, struct error *error)
{
    struct server *server = data;
    struct in_addr host;
    enum status status;

    if (inet_pton(AF_INET, address, &host) != 1)
        return error_set(error, STATUS_USAGE, "'%.50s' is no address; one as 192.168.0.7 is wanted",
                         address);
    server->phone.for_phone = true;
    server->phone.page = server->own.page;
    status = take_port(&server->phone, host.s_addr, port, error);
    if (!status)
        status = begin(&server->phone, PHONE_CONNECTIONS_MAX, error);
    if (status)
        end(&server->phone);
    return status;
}

static void shut_for_phone(void *data)
{
    struct server *server = data;

    end(&server->phone);
}

/* --- beginning and ending --------------------------------------------------------------------- */

enum status server_begin(struct server *server, struct page *page, const char *phone_address,
                         struct error *error)
{
    const struct page_door door = {networks_of_machine, open_for_phone, shut_for_phone, server};

    server->own.page = page;
    snprintf(server->extra, sizeof server->extra, "%s", phone_address ? phone_address : "");
    page_hang_door(page, &door);
    return begin(&server->own, CONNECTIONS_MAX, error);
}

void server_end(struct server *server)
{
    end(&server->phone);
    end(&server->own);
    free(server);
}
