#ifndef WOAD_OUTPUT_VIEW_PHONE_H
#define WOAD_OUTPUT_VIEW_PHONE_H

#include "output/views.h"

/* How photos come from a phone; texts are borrowed. */
struct view_phone {
    const char *const *addresses; /* this machine's in its networks, to choose from */
    int count;
    const char *address; /* that the phone opens; NULL: it is shut */
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
