#ifndef WOAD_COMMANDS_PROGRESS_H
#define WOAD_COMMANDS_PROGRESS_H

/* One line that says how far the photos are; only on a terminal. */

#include <stdbool.h>

struct progress {
    bool wanted; /* standard error is a terminal, and there are several photos */
    bool drawn;
    int columns; /* of the terminal */
    int total;
    int done;
    int failed;
    double started; /* seconds, of a clock that only runs on */
};

void progress_begin(struct progress *progress, int total);

/** Draw the line, over the one before; nothing if it is not wanted. */
void progress_draw(struct progress *progress);

/** Leave the terminal's line empty, for something else or at the end. */
void progress_erase(struct progress *progress);

#endif
