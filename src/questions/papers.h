#ifndef WOAD_QUESTIONS_PAPERS_H
#define WOAD_QUESTIONS_PAPERS_H

#include "inventory/inventory.h"

#include <stddef.h>
#include <stdint.h>

#define PAPERS_MAX 64 /* told apart; what comes after goes as one more */

/* The papers that a range was read on. Plain data; the names are the readings'. */
struct papers {
    struct {
        const char *name; /* empty: nobody told */
        size_t readings;
    } items[PAPERS_MAX];
    size_t count;
    size_t usual; /* the one with most readings of ink; of equals the one met first */
};

struct papers papers_of(const struct inventory_readings *readings);

/** A paper's number: 0 for the usual one, another for each other (`name` NULL: nobody told). */
int64_t papers_number(const struct papers *papers, const char *name);

#endif
