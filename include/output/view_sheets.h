#ifndef WOAD_OUTPUT_VIEW_SHEETS_H
#define WOAD_OUTPUT_VIEW_SHEETS_H

#include "inventory/print_setups.h"
#include "output/sheet_job.h"
#include "output/views.h"

/* A sheet as it is asked for, with what there is to choose from; all of it is borrowed. */
struct view_sheet {
    const struct sheet_job *job;
    const struct inventory_setups *setups;
    const struct inventory_inks *inks; /* whose names complete what is typed */
    const char *names;                 /* as they were typed, a line each */
    const char *query;                 /* by which the same is asked for */
    bool nothing;                      /* there is nothing yet to put on it */
};

/** The kinds of sheets, what one of them is asked with, how it looks, and a way to save it. */
void view_sheets(FILE *out, const struct view_frame *frame, const struct view_sheet *sheet);

#endif
