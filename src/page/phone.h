#ifndef WOAD_PAGE_PHONE_H
#define WOAD_PAGE_PHONE_H

/*
 * The door for a phone: an address in one of this machine's networks that lets
 * photos in and nothing out, for ten minutes at most. Who asks by it is known
 * by a secret in the way it leads to, which no address has twice.
 */

#include "page/page.h"
#include "secret.h"

#define PHONE_OPEN_S 600
#define PHONE_WAY_SIZE (SECRET_SIZE + 1) /* "/" and the secret */

struct phone; /* opaque: its members are in phone.c */

/**
 * A door that is shut, and can't be opened before phone_hang.
 *
 * Owns:    the caller releases it with phone_release, when what it opened has ended.
 * Returns: STATUS_OK; STATUS_MEMORY.
 */
MUST_USE enum status phone_create(struct phone **phone, struct error *error);
void phone_release(struct phone *phone);

/** Tell what opens and shuts it. */
void phone_hang(struct phone *phone, const struct page_door *door);

/* How it stands. */
struct phone_state {
    struct page_network networks[PAGE_NETWORKS_MAX]; /* to choose from */
    int count;
    bool open;
    char host[PAGE_HOST_SIZE]; /* where it listens, with the port */
    char way[PHONE_WAY_SIZE];
    char pass[SECRET_SIZE]; /* that the first browser to take the way is known by */
    bool taken;             /* one has */
    long long shuts_s;      /* since 1970 */
    int came;               /* photos since it was opened */
};

void phone_look(struct phone *phone, struct phone_state *state);

/**
 * Open it on one of the addresses; one that was open before is shut.
 *
 * Returns: STATUS_OK; STATUS_USAGE for an address that is none of this machine's; STATUS_FILE.
 */
MUST_USE enum status phone_open(struct phone *phone, const char *address, long long now_s,
                                struct error *error);
void phone_shut(struct phone *phone);

/** Take the way if nobody has, since each serves one browser; whether nobody had. */
bool phone_take(struct phone *phone, const char *way);

/** Shut it if its time is over. */
void phone_shut_in_time(struct phone *phone, long long now_s);

/** One more photo has come. */
void phone_count(struct phone *phone);

#endif
