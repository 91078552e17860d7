#include "base/memory.h"
#include "location/printed_chart.h"
#include "outline.h"
#include "values/linear.h"

#include <stdlib.h>

/* Where its inked cells are seen, a printed chart lies: what few marks leave open is settled by
 * them, and how the paper bends is followed. A cell is inked by hand, its middle off by half a
 * millimetre or so. */
#define OFF_USUAL_MM 0.5 /* cells farther off lose their weight */
#define ROUNDS 4
#define ROUNDS_FAR 4 /* in which ever more cells come within reach */
#define CELLS_TO_SETTLE 4
#define TERMS 6 /* 1, x, y, x x, x y, y y */
#define CELLS_MIN 9
#define LOOKS 3         /* once by the map alone, then by the bend seen so far */
#define RIDGE 0.01      /* a bend that cells in one row leave open is none */
#define MARK_WEIGHT 4.0 /* of a mark's corner, against a cell's middle */

/* By two marks alone a cell may be off by a sixth of its side: as far as to its neighbours. */
static const struct outline_search far_search = {0.16, 0.16, 0.10, 1500, false};

/* Places on the page and where they are seen. */
struct seen_places {
    struct point *page, *photo;
    double *weight;
    size_t count;
};

static enum status allocate(size_t count, struct seen_places *places, struct error *error)
{
    places->count = 0;
    places->page = memory_array(count, sizeof *places->page, "a chart's places", error);
    places->photo = memory_array(count, sizeof *places->photo, "a chart's places", error);
    places->weight = memory_array(count, sizeof *places->weight, "a chart's places", error);
    return places->page && places->photo && places->weight ? STATUS_OK : error->status;
}

static void release(struct seen_places *places)
{
    free(places->page);
    free(places->photo);
    free(places->weight);
}

static void add_place(struct seen_places *places, struct point page, struct point photo,
                      double weight)
{
    places->page[places->count] = page;
    places->photo[places->count] = photo;
    places->weight[places->count++] = weight;
}

static void terms_at(const struct printed_chart *chart, struct point at, double terms[TERMS])
{
    double x = 2 * at.x / chart->page_mm.x - 1, y = 2 * at.y / chart->page_mm.y - 1;
    const double value[TERMS] = {1, x, y, x * x, x * y, y * y};

    for (int i = 0; i < TERMS; i++)
        terms[i] = value[i];
}

static struct point bend_at(const struct printed_chart *chart, const double bend[2 * TERMS],
                            struct point at)
{
    double terms[TERMS];
    struct point off = {0, 0};

    terms_at(chart, at, terms);
    for (int i = 0; i < TERMS; i++) {
        off.x += bend[2 * i] * terms[i];
        off.y += bend[2 * i + 1] * terms[i];
    }
    return off;
}

/* A cell as it lies by the map, and by the bend of the paper where one is known yet. */
static struct quad seen_cell(const struct printed_chart *chart, const struct homography *from_page,
                             const double *bend, int cell)
{
    struct quad quad =
        printed_chart_cell(chart, cell / chart->columns + 1, cell % chart->columns + 1);

    for (int k = 0; bend && k < 4; k++)
        quad.corner[k] = point_add(quad.corner[k], bend_at(chart, bend, quad.corner[k]));
    return printed_chart_seen(from_page, &quad);
}

/* How cells are looked for. */
struct look {
    const struct homography *from_page;
    const double *bend; /* NULL: none is known */
    bool far;           /* the map may be far off yet */
};

/* Add the middles of the cells whose ink shows its edges near to where the map has them; while the
 * map may be far off, all weigh alike. */
static void add_cells(const struct photo *photo, const struct printed_chart *chart,
                      const struct look *look, struct seen_places *places)
{
    struct homography back = homography_invert(look->from_page);

    for (int i = 0; i < chart->rows * chart->columns; i++) {
        struct quad cell =
            printed_chart_cell(chart, i / chart->columns + 1, i % chart->columns + 1);
        struct quad outline = seen_cell(chart, look->from_page, look->bend, i);
        struct point middle = quad_centre(&cell), seen;
        double corner_error, off_mm;

        if (!outline_refine(photo, look->far ? &far_search : &outline_shifted, &outline,
                            &corner_error))
            continue;
        seen = quad_centre(&outline);
        off_mm = point_distance(homography_apply(&back, seen), middle) / OFF_USUAL_MM;
        add_place(places, middle, seen, look->far ? 1 : 1 / (1 + off_mm * off_mm));
    }
}

/* --- what few marks leave open ---------------------------------------------------------------- */

static void add_marks(const struct printed_chart *chart, const struct tags *tags, int sheet,
                      struct seen_places *places)
{
    for (int i = 0; i < tags->count && places->count < 16; i++) {
        struct quad ring = printed_chart_ring(chart, tags->items[i].corner);

        for (int k = 0; k < 4 && tags->items[i].sheet == sheet; k++)
            add_place(places, ring.corner[k], tags->items[i].ring.corner[k], MARK_WEIGHT);
    }
}

enum status printed_chart_settle(const struct photo *photo, const struct printed_chart *chart,
                                 const struct tags *tags, int sheet, struct printed_pose *pose,
                                 struct error *error)
{
    struct seen_places places = {NULL, NULL, NULL, 0};
    size_t most = (size_t)(chart->rows * chart->columns) + 16;
    bool open = pose->tags == 2 || pose->tags == 3;
    enum status status = open ? allocate(most, &places, error) : STATUS_OK;

    for (int round = 0; !status && open && round < ROUNDS_FAR + ROUNDS; round++) {
        struct homography_points points;
        struct error unfound;
        size_t marks;

        places.count = 0;
        add_marks(chart, tags, sheet, &places);
        marks = places.count;
        add_cells(photo, chart, &(struct look){&pose->from_page, NULL, round < ROUNDS_FAR},
                  &places);
        points = (struct homography_points){.from = places.page,
                                            .to = places.photo,
                                            .weight = places.weight,
                                            .count = places.count};
        if (places.count < marks + CELLS_TO_SETTLE ||
            homography_fit(&points, &pose->from_page, &unfound))
            break;
        pose->sure = true;
    }
    release(&places);
    if (!status)
        printed_chart_pose_update(chart, pose);
    return status;
}

/* --- how the paper bends ---------------------------------------------------------------------- */

/* Fit the bend to how far, on the page, cells are seen off their places: robustly, in rounds. */
static enum status fit_bend(const struct printed_chart *chart, const struct homography *back,
                            struct seen_places *places, double bend[2 * TERMS], struct error *error)
{
    double *design = memory_array(places->count * (TERMS + 2), sizeof *design, "the bend", error);
    double *target = design ? design + places->count * TERMS : NULL;
    const double ridge[TERMS] = {RIDGE, RIDGE, RIDGE, RIDGE, RIDGE, RIDGE};
    const struct linear_problem problem = {design, target, places->weight, ridge, places->count,
                                           TERMS,  2};
    enum status status = design ? STATUS_OK : error->status;

    for (int round = 0; !status && round < ROUNDS; round++) {
        for (size_t i = 0; i < places->count; i++) {
            struct point off =
                point_subtract(homography_apply(back, places->photo[i]), places->page[i]);
            struct point left = point_subtract(off, bend_at(chart, bend, places->page[i]));
            double unusual = point_distance(left, (struct point){0, 0}) / OFF_USUAL_MM;

            terms_at(chart, places->page[i], &design[i * TERMS]);
            target[2 * i] = off.x;
            target[2 * i + 1] = off.y;
            places->weight[i] = round ? 1 / (1 + unusual * unusual) : 1;
        }
        status = linear_least_squares(&problem, bend, error);
    }
    free(design);
    return status;
}

enum status printed_chart_place(const struct photo *photo, const struct printed_chart *chart,
                                const struct homography *from_page, struct quad *outline,
                                struct error *error)
{
    struct seen_places places = {NULL, NULL, NULL, 0};
    struct homography back = homography_invert(from_page);
    double bend[2 * TERMS] = {0};
    int count = chart->rows * chart->columns;
    enum status status = allocate((size_t)count, &places, error);

    for (int look = 0; !status && look < LOOKS; look++) {
        places.count = 0;
        add_cells(photo, chart, &(struct look){from_page, bend, look == 0}, &places);
        if (places.count >= CELLS_MIN)
            status = fit_bend(chart, &back, &places, bend, error);
    }
    release(&places);
    for (int i = 0; !status && i < count; i++)
        outline[i] = seen_cell(chart, from_page, bend, i);
    return status;
}
