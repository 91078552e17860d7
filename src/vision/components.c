#include "components.h"

#include "base/memory.h"

#include <stdbool.h>
#include <stdlib.h>
#include <string.h>

/* One horizontal run of flat pixels; runs that touch are joined through `parent`. */
struct run {
    int start;
    int end; /* one past the last pixel */
    int y;
    size_t parent;
};

struct runs {
    struct run *items;
    size_t count;
    size_t capacity;
};

static enum status runs_add(struct runs *runs, int start, int end, int y, struct error *error)
{
    if (runs->count == runs->capacity) {
        struct run *grown = memory_grow(runs->items, &runs->capacity, sizeof *grown,
                                        "the runs of an edge map", error);
        if (!grown)
            return error->status;
        runs->items = grown;
    }
    runs->items[runs->count] = (struct run){start, end, y, runs->count};
    runs->count++;
    return STATUS_OK;
}

static enum status runs_of_row(const struct edges *edges, int y, int strength, struct runs *runs,
                               struct error *error)
{
    const uint8_t *row = edges->strength + (size_t)y * (size_t)edges->width_px;
    enum status status = STATUS_OK;
    int x = 0;

    while (!status && x < edges->width_px) {
        int start;

        while (x < edges->width_px && row[x] > strength)
            x++;
        start = x;
        while (x < edges->width_px && row[x] <= strength)
            x++;
        if (x > start)
            status = runs_add(runs, start, x, y, error);
    }
    return status;
}

static size_t root_of(struct run *items, size_t i)
{
    while (items[i].parent != i) {
        items[i].parent = items[items[i].parent].parent;
        i = items[i].parent;
    }
    return i;
}

/* Join each run of the row that starts at `middle` with those it touches in the row above. */
static void join_rows(struct run *items, size_t first, size_t middle, size_t end)
{
    size_t above = first;

    for (size_t i = middle; i < end; i++) {
        while (above < middle && items[above].end <= items[i].start)
            above++;
        for (size_t j = above; j < middle && items[j].start < items[i].end; j++) {
            size_t a = root_of(items, i);
            size_t b = root_of(items, j);

            items[a > b ? a : b].parent = a > b ? b : a;
        }
    }
}

static enum status runs_find(const struct edges *edges, int strength, struct runs *runs,
                             struct error *error)
{
    enum status status = STATUS_OK;
    size_t first = 0;

    for (int y = 0; !status && y < edges->height_px; y++) {
        size_t middle = runs->count;

        status = runs_of_row(edges, y, strength, runs, error);
        if (!status)
            join_rows(runs->items, first, middle, runs->count);
        first = middle;
    }
    return status;
}

static void add_run(struct component *component, const struct run *run)
{
    double n = run->end - run->start;
    double middle = (run->start + run->end - 1) / 2.0;
    double x = n * middle;

    component->count += n;
    component->x += x;
    component->y += n * run->y;
    component->xx += n * (middle * middle + (n * n - 1) / 12);
    component->xy += x * run->y;
    component->yy += n * run->y * run->y;
}

static enum status sum_runs(struct runs *runs, struct components *components, struct error *error)
{
    size_t *number = memory_array(runs->count, sizeof *number, "component numbers", error);

    if (!number)
        return error->status;
    for (size_t i = 0; i < runs->count; i++)
        if (root_of(runs->items, i) == i)
            number[i] = components->count++;
    components->items =
        memory_array(components->count, sizeof *components->items, "components", error);
    for (size_t i = 0; components->items && i < runs->count; i++)
        add_run(&components->items[number[root_of(runs->items, i)]], &runs->items[i]);
    free(number);
    return components->items ? STATUS_OK : error->status;
}

enum status components_find(const struct edges *edges, int strength, struct components *components,
                            struct error *error)
{
    struct runs runs = {0};
    enum status status = runs_find(edges, strength, &runs, error);

    if (!status)
        status = sum_runs(&runs, components, error);
    free(runs.items);
    return status;
}

void components_release(struct components *components)
{
    free(components->items);
    memset(components, 0, sizeof *components);
}
