#ifndef WOAD_OUTPUT_SHEET_JOB_H
#define WOAD_OUTPUT_SHEET_JOB_H

#include "base/error.h"
#include "values/calendar.h"

#include <stdbool.h>

#define SHEET_COPIES_MAX 9
#define SHEET_SPARE_MAX 40
#define SHEET_START_MAX 1000
#define SHEET_CELL_MM_MIN 10
#define SHEET_CELL_MM_MAX 200
#define SHEET_STOCK_USUAL "63.5x38.1"

/*
 * A sheet to print as it is asked for, on the command line or on the page; what
 * is NULL or 0 is chosen. Texts are borrowed.
 */
struct sheet_job {
    const char *kind;         /* "chart", "window", "labels", "range", "strip" or "test" */
    const char *inventory;    /* its file; NULL: the usual one */
    const char *const *names; /* names files, instead of the range in colour order */
    int names_count;
    bool listed;       /* they are lists: how they lay the names out does not hold */
    char *const *inks; /* strip: of one combination; none: those that are logged */
    int ink_count;
    const char *page; /* as print_setup_page */
    bool landscape;
    int rows, columns;
    double cell_mm;
    int copies;             /* chart, labels: cells for each ink, 1 or more */
    int spare;              /* chart: blank cells behind each family */
    const char *card_place; /* "110x65": millimetres kept for the card */
    const char *title;
    struct photo_time date;
    int number;        /* window: of the printed sheet that has this number */
    const char *stock; /* labels: as print_setup_stock */
    int start;         /* labels: the first one used, from 1 */
    bool plain, outlined, duplex;
    const char *printer; /* as print_setup_printer */
    bool preview;        /* to be looked at: the first page alone, and no number is given to it */
};

/* What came of it; zeros where no numbered sheet was made. */
struct sheet_made {
    int rows, columns;
    int first_number, last_number;
};

/**
 * Write a sheet; charts and strips are kept in the inventory, by numbers that their tags tell.
 *
 * Returns: STATUS_OK; STATUS_USAGE for what can't be printed so; as sheet_write_chart; as
 *          inventory_add_sheet; STATUS_INVENTORY also if there is nothing to print.
 */
MUST_USE enum status sheet_job_write(const struct sheet_job *job, const char *path,
                                     struct sheet_made *made, struct error *error);

#endif
