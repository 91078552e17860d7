#ifndef WOAD_PAGE_PAGE_H
#define WOAD_PAGE_PAGE_H

#include "base/error.h"
#include "files/card.h"
#include "inventory/inventory.h"

#include <stdbool.h>
#include <stddef.h>
#include <stdio.h>

/*
 * The page as one function from a request to a response. No socket and no
 * thread is in it: the server hands requests in, and tests do as well. Several
 * threads may ask at once.
 *
 * A request that is not from the browser it was opened in is refused. These
 * keep it so:
 *   - its Host is one of ours, with the port: a name that another site makes
 *     point at this machine is none;
 *   - a cookie holds 128 random bits, which come in once by the opened address
 *     and leave it at once;
 *   - what changes anything carries 128 other random bits, in a header (script)
 *     or in a hidden field of the form (without one): another site can send
 *     neither, since it can read no view of ours.
 */
struct page; /* opaque: its members are in page/visit.h */

#define PAGE_CARDS 2
#define PAGE_NETWORKS_MAX 8
#define PAGE_HOST_SIZE 64

/* A network that this machine is in. */
struct page_network {
    char address[PAGE_HOST_SIZE]; /* of this machine there */
    char interface[32]; /* by which it is in it, as the system calls it; empty: not known */
};

/* What opens a second place to listen, for a phone: the server's part. */
struct page_door {
    int (*networks)(void *data, struct page_network networks[PAGE_NETWORKS_MAX]); /* how many */
    enum status (*open)(void *data, const char *address, int *port, struct error *error);
    void (*shut)(void *data); /* requests that come by it are ended */
    void *data;
};

struct page_settings {
    const char *inventory_path;
    int port; /* where it is served: part of the Host */
    const struct card
        *cards[PAGE_CARDS];   /* the editions to choose from; the first is the usual one */
    long long (*now_s)(void); /* seconds since 1970; NULL: the machine's clock */
};

/**
 * Make a page, with fresh random tokens.
 *
 * Owns:    the caller releases it with page_release; cards are borrowed.
 * Returns: STATUS_OK; STATUS_FILE if there is no randomness; STATUS_MEMORY.
 */
MUST_USE enum status page_create(const struct page_settings *settings, struct page **page,
                                 struct error *error);
void page_release(struct page *page);

/** Tell what opens a door for a phone; without one no photos come from there. */
void page_hang_door(struct page *page, const struct page_door *door);

/** Do what is due: shut the door for a phone that has stood open for long enough. To be called
 * every second or so. */
void page_tick(struct page *page);

/** The address to open, with the token that becomes a cookie. */
#define PAGE_ADDRESS_SIZE 96
void page_address(const struct page *page, char address[PAGE_ADDRESS_SIZE]);

/* A request as it came; what a header does not tell is NULL. Borrowed. */
struct page_request {
    const char *method;
    const char *target; /* path and query, as sent */
    const char *host;
    const char *cookie;
    const char *token;     /* the header Woad-Token */
    long long body_length; /* as announced; -1: it is not */
    const char *body;      /* NULL until it was read, or if it is a photo */
    const char *photo;     /* the id page_open_photo gave the file that holds it */
    bool by_phone;         /* it came by the door for a phone */
};

/* What to send back. */
struct page_response {
    int status;       /* of HTTP */
    const char *type; /* of the body */
    char *body;
    size_t length;
    char location[256]; /* empty: none */
    char cookie[128];   /* empty: none */
    char download[64];  /* the name to save it under; empty: to be looked at */
    bool lasting;       /* it never changes and may be kept by the browser */
};

void page_response_release(struct page_response *response);

/* Where the body of a request goes. */
enum page_body { PAGE_BODY_REFUSED, PAGE_BODY_NONE, PAGE_BODY_MEMORY, PAGE_BODY_FILE };

/**
 * Look at a request before any of its body is read.
 *
 * Returns: where the body goes; PAGE_BODY_REFUSED with the response filled.
 */
enum page_body page_admit(struct page *page, const struct page_request *request,
                          struct page_response *response);

/**
 * Answer a request, its body read.
 *
 * Owns:    the caller releases `response` with page_response_release.
 */
void page_answer(struct page *page, const struct page_request *request,
                 struct page_response *response);

/**
 * Open a private file for a photo that comes in; page_answer takes it over.
 *
 * Owns:    the caller closes `file`, and calls page_drop_photo if the request does not come to
 *          its end.
 * Returns: true; false with the response filled, for instance if there is no room.
 */
#define PAGE_PHOTO_SIZE 17
bool page_open_photo(struct page *page, const struct page_request *request,
                     char photo[PAGE_PHOTO_SIZE], FILE **file, struct page_response *response);
void page_drop_photo(struct page *page, const char *photo);

/* What stands in every response. */
struct page_header {
    const char *name;
    const char *value;
};
extern const struct page_header page_headers[]; /* the last has no name */

#endif
