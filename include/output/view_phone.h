#ifndef WOAD_OUTPUT_VIEW_PHONE_H
#define WOAD_OUTPUT_VIEW_PHONE_H

#include "output/views.h"

/* A network that this machine is in; texts are borrowed. */
struct view_network {
    const char *address;   /* of this machine there */
    const char *interface; /* as the system calls it; empty: not known */
};

/* How photos come from a phone; texts are borrowed. */
struct view_phone {
    const struct view_network *networks; /* to choose from */
    int count;
    const char *network; /* the address that was chosen of them; NULL: it is shut */
    const char *address; /* that the phone opens */
    int minutes;         /* that it stays open */
    int came;            /* photos since it was opened */
};

/**
 * The code for the phone's camera, while it is open; else how to open it.
 *
 * Returns: STATUS_OK; STATUS_MEMORY.
 */
MUST_USE enum status view_phone(FILE *out, const struct view_frame *frame,
                                const struct view_phone *phone, struct error *error);

/** The one page that the phone is shown; `way` is what its addresses begin with. */
void view_sending(FILE *out, const char *way);

#endif
