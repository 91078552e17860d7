#include "analysis/path.h"

#include "base/memory.h"
#include "path_search.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define PROVEN_WITHIN 1e-9 /* of the length */

/* --- few points: subsets -------------------------------------------------------------------- */

/* For each set of points and each of them as the last: the shortest path, and its last but one. */
struct subsets {
    const double *distance;
    size_t count;
    double *length; /* sets x count */
    unsigned char *before;
};

static void extend(struct subsets *subsets, size_t set, size_t last)
{
    size_t n = subsets->count;
    double length = subsets->length[set * n + last];

    for (size_t next = 0; next < n; next++) {
        size_t larger = (set | ((size_t)1 << next)) * n + next;
        double longer = length + subsets->distance[last * n + next];

        if ((set >> next & 1) || longer >= subsets->length[larger])
            continue;
        subsets->length[larger] = longer;
        subsets->before[larger] = (unsigned char)last;
    }
}

static void fill(struct subsets *subsets)
{
    size_t n = subsets->count, sets = (size_t)1 << n;

    for (size_t i = 0; i < sets * n; i++)
        subsets->length[i] = HUGE_VAL;
    for (size_t i = 0; i < n; i++)
        subsets->length[((size_t)1 << i) * n + i] = 0;
    for (size_t set = 1; set < sets; set++)
        for (size_t last = 0; last < n; last++)
            if ((set >> last & 1) && subsets->length[set * n + last] < HUGE_VAL)
                extend(subsets, set, last);
}

static double trace_back(const struct subsets *subsets, size_t *visit)
{
    size_t n = subsets->count, set = ((size_t)1 << n) - 1, last = 0;
    double length;

    for (size_t i = 1; i < n; i++)
        if (subsets->length[set * n + i] < subsets->length[set * n + last])
            last = i;
    length = subsets->length[set * n + last];
    for (size_t place = 0; place < n; place++) {
        size_t before = subsets->before[set * n + last];

        visit[place] = last;
        set &= ~((size_t)1 << last);
        last = before;
    }
    return length;
}

static enum status solve_exactly(const double *distance, size_t count, size_t *visit,
                                 struct path *path, struct error *error)
{
    struct subsets subsets = {.distance = distance, .count = count};
    size_t sets = ((size_t)1 << count) * count;

    subsets.length = memory_array(sets, sizeof *subsets.length, "a path", error);
    subsets.before = memory_array(sets, sizeof *subsets.before, "a path", error);
    if (subsets.length && subsets.before) {
        fill(&subsets);
        path->length = path->bound = trace_back(&subsets, visit);
        path->proven = true;
    }
    free(subsets.before);
    free(subsets.length);
    return path->proven ? STATUS_OK : error->status;
}

/* --- many points ---------------------------------------------------------------------------- */

static enum status search(const double *distance, size_t count, size_t *visit, struct path *path,
                          struct error *error)
{
    enum status status = path_search(distance, count, visit, error);

    path->length = path_length(distance, count, visit, count);
    if (!status)
        status = path_bound(distance, count, path->length, &path->bound, error);
    path->bound = fmin(path->bound, path->length);
    path->proven = path->length - path->bound <= PROVEN_WITHIN * path->length;
    return status;
}

enum status path_shortest(const double *distance, size_t count, size_t *visit, struct path *path,
                          struct error *error)
{
    *path = (struct path){.proven = count < 2};
    for (size_t i = 0; i < count; i++)
        visit[i] = i;
    if (count < 2)
        return STATUS_OK;
    return count <= PATH_EXACT_MAX ? solve_exactly(distance, count, visit, path, error)
                                   : search(distance, count, visit, path, error);
}
