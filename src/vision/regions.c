#include "vision/regions.h"

#include "base/memory.h"
#include "components.h"
#include "edges.h"
#include "values/angle.h"

#include <math.h>
#include <stdbool.h>
#include <stdlib.h>
#include <string.h>

/* Edge strengths (of 255) at which regions are cut apart: the weakest tells pale ink from paper,
 * the strongest keeps a mottled swatch in one piece. */
static const int edge_strengths[] = {5, 9, 16, 28};

#define AREA_MIN_PX 24.0
#define AREA_MAX_FRACTION 0.2
#define COMPACTNESS_MIN 0.82
#define COMPACTNESS_ALIKE 0.02
/* Swabs on strips are 5 to 9 times as long as wide, and to the eye of `look` half as much again,
 * for their rims are lost; rendered ones are found whole from 13 on, and near the limit only some.
 */
#define ELONGATION_MAX 18.0
#define SAME_CENTRE 0.2           /* of the side: nearer regions of like area are one */
#define SAME_AREA 2.1             /* coarser looks lose more of a region's rim */
#define PIXEL_VARIANCE (1.0 / 12) /* of a pixel's own extent */

static bool region_from_component(const struct component *component, double scale, double area_max,
                                  struct region *region)
{
    double n = component->count;
    double x = component->x / n, y = component->y / n;
    double xx = component->xx / n - x * x + PIXEL_VARIANCE;
    double yy = component->yy / n - y * y + PIXEL_VARIANCE;
    double xy = component->xy / n - x * y;
    double determinant = xx * yy - xy * xy;
    double spread = sqrt((xx - yy) * (xx - yy) + 4 * xy * xy);
    double ratio = (xx + yy + spread) / fmax(xx + yy - spread, 1e-9);

    if (n < AREA_MIN_PX || n > area_max || ratio > ELONGATION_MAX * ELONGATION_MAX)
        return false;
    *region = (struct region){{(x + 0.5) * scale, (y + 0.5) * scale},
                              n * scale * scale,
                              xx * scale * scale,
                              xy * scale * scale,
                              yy * scale * scale,
                              n / (2 * ANGLE_FULL_TURN * sqrt(determinant))};
    return region->compactness >= COMPACTNESS_MIN;
}

static enum status regions_add(struct regions *regions, const struct region *region,
                               struct error *error)
{
    if (regions->count == regions->capacity) {
        struct region *grown = memory_grow(regions->items, &regions->capacity, sizeof *grown,
                                           "the regions of a photo", error);
        if (!grown)
            return error->status;
        regions->items = grown;
    }
    regions->items[regions->count++] = *region;
    return STATUS_OK;
}

static enum status add_components(const struct components *components, double scale,
                                  double area_max, struct regions *regions, struct error *error)
{
    enum status status = STATUS_OK;

    for (size_t i = 0; !status && i < components->count; i++) {
        struct region region;

        if (region_from_component(&components->items[i], scale, area_max, &region))
            status = regions_add(regions, &region, error);
    }
    return status;
}

static enum status look(const struct image *image, double scale, struct regions *regions,
                        struct error *error)
{
    struct edges edges = {0};
    double area_max = AREA_MAX_FRACTION * image->width_px * image->height_px;
    enum status status = edges_find(image, &edges, error);

    for (size_t i = 0; !status && i < sizeof edge_strengths / sizeof *edge_strengths; i++) {
        struct components components = {0};

        status = components_find(&edges, edge_strengths[i], &components, error);
        if (!status)
            status = add_components(&components, scale, area_max, regions, error);
        components_release(&components);
    }
    edges_release(&edges);
    return status;
}

static int by_x(const void *a, const void *b)
{
    double left = ((const struct region *)a)->centre.x;
    double right = ((const struct region *)b)->centre.x;

    return (left > right) - (left < right);
}

static bool same_region(const struct region *a, const struct region *b)
{
    double ratio = a->area_px / b->area_px;
    double side = sqrt(fmin(a->area_px, b->area_px));

    return ratio < SAME_AREA && ratio > 1 / SAME_AREA &&
           point_distance(a->centre, b->centre) < SAME_CENTRE * side;
}

/* Whether the first of two sightings of one patch is the worse: the more ragged, or of two alike
 * the smaller, which has lost more of its rim. */
static bool is_worse(const struct region *a, const struct region *b)
{
    double surplus = a->compactness - b->compactness;

    return fabs(surplus) > COMPACTNESS_ALIKE ? surplus < 0 : a->area_px < b->area_px;
}

/* Of each set of sightings of one patch keep the best; the list ends sorted by x. */
static void merge_sightings(struct regions *regions)
{
    struct region *items = regions->items;
    size_t kept = 0;

    if (regions->count)
        qsort(items, regions->count, sizeof *items, by_x);
    for (size_t i = 0; i < regions->count; i++) {
        double reach = SAME_CENTRE * sqrt(items[i].area_px);

        for (size_t j = i + 1; j < regions->count && items[j].centre.x - items[i].centre.x < reach;
             j++)
            if (items[i].area_px > 0 && items[j].area_px > 0 && same_region(&items[i], &items[j])) {
                size_t worse = is_worse(&items[i], &items[j]) ? i : j;

                items[worse].area_px = 0;
            }
    }
    for (size_t i = 0; i < regions->count; i++)
        if (items[i].area_px > 0)
            items[kept++] = items[i];
    regions->count = kept;
}

enum status regions_find(const struct image *image, int shrink, int looks, struct regions *regions,
                         struct error *error)
{
    struct image scaled = {0};
    double scale = ldexp(1.0, shrink);
    enum status status = image_shrink(image, 1 << shrink, &scaled, error);

    for (int i = 0; !status && i < looks; i++) {
        struct image smaller = {0};

        status = look(&scaled, scale, regions, error);
        if (!status && i + 1 < looks)
            status = image_shrink(&scaled, 2, &smaller, error);
        image_release(&scaled);
        scaled = smaller;
        scale *= 2;
    }
    image_release(&scaled);
    merge_sightings(regions);
    return status;
}

void regions_release(struct regions *regions)
{
    free(regions->items);
    memset(regions, 0, sizeof *regions);
}
