#include "papers.h"

#include <string.h>

/* Where a paper stands; `count` if it does not. */
static size_t place_of(const struct papers *papers, const char *name)
{
    size_t place = 0;

    while (place < papers->count && strcmp(papers->items[place].name, name ? name : "") != 0)
        place++;
    return place;
}

static void count_reading(struct papers *papers, const struct inventory_reading *kept)
{
    size_t place = place_of(papers, kept->paper);

    if (place == PAPERS_MAX)
        return;
    if (place == papers->count) {
        papers->items[papers->count].name = kept->paper ? kept->paper : "";
        papers->items[papers->count++].readings = 0;
    }
    papers->items[place].readings++;
}

struct papers papers_of(const struct inventory_readings *readings)
{
    struct papers papers = {.count = 0};

    for (size_t i = 0; i < readings->count; i++)
        if (readings->items[i].ink && readings->items[i].reading.found == CELL_INK)
            count_reading(&papers, &readings->items[i]);
    for (size_t i = 1; i < papers.count; i++)
        if (papers.items[i].readings > papers.items[papers.usual].readings)
            papers.usual = i;
    return papers;
}

int64_t papers_number(const struct papers *papers, const char *name)
{
    size_t place = place_of(papers, name);

    return place == papers->usual ? 0 : 1 + (int64_t)place;
}
