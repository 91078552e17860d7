#ifndef WOAD_OUTPUT_VIEWS_H
#define WOAD_OUTPUT_VIEWS_H

#include "inventory/changes.h"
#include "questions/overview.h"

#include <stdio.h>

/*
 * Views in HTML, the same in a report and on the page, written to a stream
 * whose failure its owner looks for. Each can be read without a script.
 */

/* What stands around a view; texts are borrowed, NULL where there is none. */
struct view_frame {
    const char *title;
    const char *remark;
    bool
        served; /* by 'woad page': with the ways to the other views; else one file with its style */
    const char *here;     /* the address of the view among those the ways lead to */
    const char *notice;   /* what was just done, or why it was not */
    const char *command;  /* the command line that does or shows the same */
    const char *undo;     /* the last change that can be taken back */
    const char *revision; /* of the inventory */
    const char *token;    /* that forms carry */
};

void view_begin(FILE *out, const struct view_frame *frame);
void view_end(FILE *out, const struct view_frame *frame);

/** The range as tiles in colour order, those whose name holds `find` (NULL: all). */
void view_wall(FILE *out, const struct view_frame *frame, const struct overview *overview,
               const char *find);

/** One ink: its colour, its numbers with their doubt in words, what could stand in for it. */
void view_ink(FILE *out, const struct view_frame *frame, const struct overview *overview,
              size_t place);

/** What can be set right of an ink: its name, that it is another one, that it is no more. */
void view_mending(FILE *out, const struct view_frame *frame, const struct overview *overview,
                  const char *name);

/** The photos whose readings are kept, each with what can be set right of it. */
void view_kept_photos(FILE *out, const struct view_frame *frame,
                      const struct inventory_readings *readings);

/** What was set right in the inventory, the newest first. */
void view_changes(FILE *out, const struct inventory_changes *changes);

/** A view that says one thing: why something can't be shown. */
void view_message(FILE *out, const char *message);

#endif
