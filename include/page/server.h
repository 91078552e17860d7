#ifndef WOAD_PAGE_SERVER_H
#define WOAD_PAGE_SERVER_H

#include "page/page.h"

/* The page over HTTP, on the loopback alone; and a door for a phone, while that stands open. */
struct server; /* opaque: its members are in server.c */

/**
 * Begin to listen on 127.0.0.1.
 *
 * Shape:   `port` 0: any that is free; it becomes the one taken. Requests wait until
 *          server_begin tells which page answers them.
 * Owns:    the caller ends it with server_end.
 * Returns: STATUS_OK; STATUS_FILE if the port can't be taken; STATUS_MEMORY.
 */
MUST_USE enum status server_listen(int *port, struct server **server, struct error *error);

/**
 * Answer requests, each in a thread of its own, until server_end.
 *
 * Shape:   `phone_address` is one more of this machine's that a phone may be told, NULL for none.
 * Returns: STATUS_OK; STATUS_MEMORY.
 */
MUST_USE enum status server_begin(struct server *server, struct page *page,
                                  const char *phone_address, struct error *error);

/** Let the requests that are being answered come to their end, and take no more. */
void server_end(struct server *server);

#endif
