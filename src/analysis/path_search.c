#include "path_search.h"

#include "analysis/path.h"
#include "base/memory.h"

#include <stdbool.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#define GAIN_LEAST 1e-9
#define SEGMENT_MAX 3 /* points that Or-opt moves at once */
#define KICK_SPAN 30  /* points within which a kick cuts: the search then mends only there */
#define WORK 40000000 /* pairs of places looked at, kicks and all: a quarter of a second or so */
#define KICKS_MAX 6000

double path_length(const double *distance, size_t count, const size_t *visit, size_t visited)
{
    double length = 0;

    for (size_t i = 0; i + 1 < visited; i++)
        length += distance[visit[i] * count + visit[i + 1]];
    return length;
}

/*
 * Places 0 to count - 1 of the path; beyond either end lies nothing, at no
 * distance, which leaves the ends free.
 */
struct search {
    const double *distance;
    size_t count;
    size_t *visit;
    size_t *spare; /* as long as the path */
    double work;
    uint64_t random;
};

/* The distance between what stands at two places; -1 and count are beyond the ends. */
static double between(const struct search *search, long a, long b)
{
    long count = (long)search->count;

    if (a < 0 || b < 0 || a >= count || b >= count)
        return 0;
    return search->distance[search->visit[a] * search->count + search->visit[b]];
}

static void reverse(size_t *visit, long from, long to)
{
    for (; from < to; from++, to--) {
        size_t kept = visit[from];

        visit[from] = visit[to];
        visit[to] = kept;
    }
}

/* --- the two moves -------------------------------------------------------------------------- */

/* Turn round the stretch from i to j wherever that shortens. */
static bool improve_by_turning(struct search *search, long from, long to)
{
    bool better = false;

    for (long i = from; i < to; i++)
        for (long j = i + 1; j <= to; j++) {
            double now = between(search, i - 1, i) + between(search, j, j + 1);
            double then = between(search, i - 1, j) + between(search, i, j + 1);

            if (now - then > GAIN_LEAST) {
                reverse(search->visit, i, j);
                better = true;
            }
        }
    return better;
}

/* Move the places i to j so that they stand before place `to`, which lies outside of them. */
static void move_segment(struct search *search, long i, long j, long to, bool turned)
{
    size_t length = (size_t)(j - i + 1);
    size_t *visit = search->visit;
    long start = to > j ? to - (long)length : to;

    memcpy(search->spare, visit + i, length * sizeof *visit);
    if (to > j)
        memmove(visit + i, visit + j + 1, (size_t)(to - j - 1) * sizeof *visit);
    else
        memmove(visit + to + (long)length, visit + to, (size_t)(i - to) * sizeof *visit);
    memcpy(visit + start, search->spare, length * sizeof *visit);
    if (turned)
        reverse(visit, start, start + (long)length - 1);
}

static bool try_moves(struct search *search, long i, long j, long from, long to)
{
    double taken =
        between(search, i - 1, i) + between(search, j, j + 1) - between(search, i - 1, j + 1);

    for (long place = from; place <= to + 1; place++) {
        double open, straight, turned;

        if (place >= i && place <= j + 1)
            continue;
        open = taken + between(search, place - 1, place);
        straight = between(search, place - 1, i) + between(search, j, place);
        turned = between(search, place - 1, j) + between(search, i, place);
        if (open - straight > GAIN_LEAST || open - turned > GAIN_LEAST) {
            move_segment(search, i, j, place, turned < straight);
            return true;
        }
    }
    return false;
}

/* Move runs of one to three points elsewhere, either way round, wherever that shortens. */
static bool improve_by_moving(struct search *search, long from, long to)
{
    bool better = false;

    for (long length = 1; length <= SEGMENT_MAX; length++)
        for (long i = from; i + length - 1 <= to; i++)
            better = try_moves(search, i, i + length - 1, from, to) || better;
    return better;
}

static void improve(struct search *search, long from, long to)
{
    bool better = true;

    while (better) {
        better = improve_by_turning(search, from, to);
        better = improve_by_moving(search, from, to) || better;
        search->work += 4.0 * (double)(to - from) * (double)(to - from);
    }
}

/* --- kicks ---------------------------------------------------------------------------------- */

static long draw(struct search *search, long below)
{
    search->random = search->random * 6364136223846793005u + 1442695040888963407u;
    return (long)((search->random >> 33) % (uint64_t)below);
}

/* Swap two neighbouring stretches, which neither move undoes at once. */
static void kick(struct search *search, long from, long span)
{
    long first = 1 + draw(search, span - 2), second = 1 + draw(search, span - 2);
    long low = first < second ? first : second, high = first < second ? second : first;
    size_t *at = search->visit + from;

    if (low == high)
        high++;
    memcpy(search->spare, at, (size_t)low * sizeof *at);
    memmove(at, at + low, (size_t)(high - low) * sizeof *at);
    memcpy(at + high - low, search->spare, (size_t)low * sizeof *at);
}

/* Kick the path somewhere, mend it round there, and keep it if it got no longer. */
static void kick_and_mend(struct search *search, size_t *kept)
{
    long count = (long)search->count;
    long span = count < KICK_SPAN ? count : KICK_SPAN;
    long from = draw(search, count - span + 1);
    long low = from > span ? from - span : 0;
    long high = from + 2 * span < count ? from + 2 * span : count - 1;
    double before;

    memcpy(kept, search->visit, search->count * sizeof *kept);
    before = path_length(search->distance, search->count, kept, search->count);
    kick(search, from, span);
    improve(search, low, high);
    if (path_length(search->distance, search->count, search->visit, search->count) > before)
        memcpy(search->visit, kept, search->count * sizeof *kept);
}

/* --- the start ------------------------------------------------------------------------------ */

/* From the first point always on to the nearest one not yet visited. */
static void visit_nearest(struct search *search)
{
    for (size_t i = 0; i + 1 < search->count; i++) {
        const double *row = search->distance + search->visit[i] * search->count;
        size_t nearest = i + 1, kept;

        for (size_t j = i + 2; j < search->count; j++)
            if (row[search->visit[j]] < row[search->visit[nearest]])
                nearest = j;
        kept = search->visit[i + 1];
        search->visit[i + 1] = search->visit[nearest];
        search->visit[nearest] = kept;
    }
}

enum status path_search(const double *distance, size_t count, size_t *visit, struct error *error)
{
    struct search search = {.distance = distance, .count = count, .visit = visit, .random = 1};
    size_t *kept = memory_array(count, sizeof *kept, "a path", error);

    search.spare = memory_array(count, sizeof *search.spare, "a path", error);
    if (kept && search.spare) {
        visit_nearest(&search);
        improve(&search, 0, (long)count - 1);
        for (int i = 0; i < KICKS_MAX && search.work < WORK; i++)
            kick_and_mend(&search, kept);
    }
    free(search.spare);
    free(kept);
    return kept && search.spare ? STATUS_OK : error->status;
}
