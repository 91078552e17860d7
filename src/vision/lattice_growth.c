#include "lattice_growth.h"

#include "base/memory.h"
#include "values/linear.h"

#include <limits.h>
#include <math.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#define FIELD_SIDE 96 /* places along a side of the field a lattice grows in */
#define FIELD_MIDDLE (FIELD_SIDE / 2)
#define NEAR_REACH 2        /* places around that a forecast rests on, beside a filled place */
#define FAR_REACH 3         /* and past a missing one */
#define LEAP_TOLERANCE 0.13 /* as LATTICE_TOLERANCE, past a missing place */
#define LEAP_LIKE_AREA 1.7
#define LEAP_MAX 3      /* missing places a lattice steps over */
#define STEP_PRIOR 0.05 /* weight of the parent's step against one neighbour's evidence */
#define TAKEN_MIN 6
#define DENSITY_STRAY 0.5 /* sparser, a lone region at the rim is a stray */
#define DENSITY_MIN 0.3   /* sparser, regions on a grid are chance: texture of the desk */
#define NO_REGION SIZE_MAX

/* The field of places around a seed: which region each holds. */
struct field {
    const struct regions *regions;
    size_t *place;  /* FIELD_SIDE x FIELD_SIDE */
    uint8_t *stale; /* the same places: a neighbour came since this one was last tried */
    bool *held;     /* one a region: it has its place */
    int first[AXES], last[AXES]; /* the outermost columns and rows that are filled */
    size_t count;
    struct lattice_basis basis;
};

/* Where a place should lie, and the steps there. */
struct forecast {
    struct point at;
    struct point u;
    struct point v;
    size_t like; /* a region nearby, for its size */
};

bool lattice_like_size(const struct region *a, const struct region *b)
{
    double ratio = a->area_px / b->area_px;

    return ratio < LATTICE_LIKE_AREA && ratio > 1 / LATTICE_LIKE_AREA;
}

static size_t first_right_of(const struct regions *regions, double x)
{
    size_t low = 0, high = regions->count;

    while (low < high) {
        size_t middle = (low + high) / 2;

        if (regions->items[middle].centre.x < x)
            low = middle + 1;
        else
            high = middle;
    }
    return low;
}

size_t lattice_nearest(const struct regions *regions, struct point at, const struct region *like,
                       double tolerance)
{
    size_t best = regions->count;
    double least = tolerance;

    for (size_t i = first_right_of(regions, at.x - tolerance);
         i < regions->count && regions->items[i].centre.x < at.x + tolerance; i++) {
        const struct region *region = &regions->items[i];
        /* Of two regions at one place the one of the likelier size wins. */
        double cost = point_distance(region->centre, at) +
                      0.3 * tolerance * fabs(log(region->area_px / like->area_px));

        if (cost < least && lattice_like_size(region, like)) {
            least = cost;
            best = i;
        }
    }
    return best;
}

static size_t *place_at(const struct field *field, int column, int row)
{
    return &field->place[(size_t)(row + FIELD_MIDDLE) * FIELD_SIDE +
                         (size_t)(column + FIELD_MIDDLE)];
}

static bool in_field(int column, int row)
{
    return abs(column) < FIELD_MIDDLE - 1 && abs(row) < FIELD_MIDDLE - 1;
}

#define STALE_NEAR 1
#define STALE_FAR 2

/* Mark the empty places whose forecast a new node changes. */
static void mark_stale(struct field *field, int column, int row, int reach, uint8_t mark)
{
    for (int r = row - reach; r <= row + reach; r++)
        for (int c = column - reach; c <= column + reach; c++)
            if (in_field(c, r))
                field->stale[place_at(field, c, r) - field->place] |= mark;
}

static void put(struct field *field, int column, int row, size_t region)
{
    *place_at(field, column, row) = region;
    field->held[region] = true;
    mark_stale(field, column, row, NEAR_REACH, STALE_NEAR);
    mark_stale(field, column, row, FAR_REACH, STALE_FAR);
    for (enum axis axis = AXIS_COLUMN; axis < AXES; axis++) {
        int at = axis == AXIS_COLUMN ? column : row;

        field->first[axis] = at < field->first[axis] ? at : field->first[axis];
        field->last[axis] = at > field->last[axis] ? at : field->last[axis];
    }
    field->count++;
}

/* Whether a place is empty and worth a try; it is not again before a neighbour comes. */
static bool take_stale(struct field *field, int column, int row, uint8_t mark)
{
    uint8_t *stale;

    if (!in_field(column, row) || *place_at(field, column, row) != NO_REGION)
        return false;
    stale = &field->stale[place_at(field, column, row) - field->place];
    if (!(*stale & mark))
        return false;
    *stale = (uint8_t)(*stale & ~mark);
    return true;
}

/* Normal equations of the local affine forecast: offset, change of u, change of v. */
struct affine_sums {
    double normal[9];
    double right_x[3];
    double right_y[3];
};

static void add_evidence(struct affine_sums *sums, double dc, double dr, struct point surplus)
{
    const double a[3] = {1, dc, dr};
    double weight = 1 / (dc * dc + dr * dr);

    for (int i = 0; i < 3; i++) {
        for (int j = 0; j < 3; j++)
            sums->normal[3 * i + j] += weight * a[i] * a[j];
        sums->right_x[i] += weight * a[i] * surplus.x;
        sums->right_y[i] += weight * a[i] * surplus.y;
    }
}

static struct point affine_at(const double inverse[9], const struct affine_sums *sums, int i)
{
    struct point value = {0, 0};

    for (int j = 0; j < 3; j++) {
        value.x += inverse[3 * i + j] * sums->right_x[j];
        value.y += inverse[3 * i + j] * sums->right_y[j];
    }
    return value;
}

static struct point on_basis(struct point origin, struct point u, struct point v, double c,
                             double r)
{
    return point_add(origin, point_add(point_scale(u, c), point_scale(v, r)));
}

/* Gather the nodes within reach of a place, as what their position adds to the plain lattice. */
static int gather(const struct field *field, int column, int row, int reach,
                  struct affine_sums *sums, size_t *nearest)
{
    const struct lattice_basis *basis = &field->basis;
    struct point origin = field->regions->items[basis->seed].centre;
    int found = 0, least = INT_MAX;

    for (int r = row - reach; r <= row + reach; r++)
        for (int c = column - reach; c <= column + reach; c++) {
            size_t region = in_field(c, r) ? *place_at(field, c, r) : NO_REGION;
            int distance = (c - column) * (c - column) + (r - row) * (r - row);
            struct point plain = on_basis(origin, basis->u, basis->v, c, r);

            if (region == NO_REGION || !distance)
                continue;
            add_evidence(sums, c - column, r - row,
                         point_subtract(field->regions->items[region].centre, plain));
            if (distance < least) {
                least = distance;
                *nearest = region;
            }
            found++;
        }
    return found;
}

/* Predict a place from the nodes around it. */
static bool predict(const struct field *field, int column, int row, int reach,
                    struct forecast *forecast)
{
    struct affine_sums sums = {{0}, {0}, {0}};
    const struct lattice_basis *basis = &field->basis;
    struct point origin = field->regions->items[basis->seed].centre;
    double inverse[9];

    if (!gather(field, column, row, reach, &sums, &forecast->like))
        return false;
    sums.normal[4] += STEP_PRIOR;
    sums.normal[8] += STEP_PRIOR;
    linear_invert_3x3(sums.normal, inverse);
    forecast->u = point_add(basis->u, affine_at(inverse, &sums, 1));
    forecast->v = point_add(basis->v, affine_at(inverse, &sums, 2));
    forecast->at =
        point_add(on_basis(origin, basis->u, basis->v, column, row), affine_at(inverse, &sums, 0));
    return true;
}

/* Whether a region may stand past a missing place: strays are many there, so it must look the part
 * closely. */
static bool may_leap(const struct region *region, const struct region *like)
{
    double ratio = region->area_px / like->area_px;

    return ratio < LEAP_LIKE_AREA && ratio > 1 / LEAP_LIKE_AREA;
}

/* Try to fill one empty place; true when a region lies where it should. */
static bool fill(struct field *field, int column, int row, bool leap)
{
    const struct regions *regions = field->regions;
    struct forecast forecast;
    double tolerance;
    size_t region;

    if (!take_stale(field, column, row, leap ? STALE_FAR : STALE_NEAR) ||
        !predict(field, column, row, leap ? FAR_REACH : NEAR_REACH, &forecast))
        return false;
    tolerance = (leap ? LEAP_TOLERANCE : LATTICE_TOLERANCE) *
                fmin(hypot(forecast.u.x, forecast.u.y), hypot(forecast.v.x, forecast.v.y));
    region = lattice_nearest(regions, forecast.at, &regions->items[forecast.like], tolerance);
    if (region == regions->count || field->held[region] ||
        (leap && !may_leap(&regions->items[region], &regions->items[forecast.like])))
        return false;
    put(field, column, row, region);
    return true;
}

/* One pass over the places within `leap` of those filled; the number filled now. */
static size_t grow_once(struct field *field, int leap)
{
    int column_min = field->first[AXIS_COLUMN] - leap, column_max = field->last[AXIS_COLUMN] + leap;
    int row_min = field->first[AXIS_ROW] - leap, row_max = field->last[AXIS_ROW] + leap;
    size_t before = field->count;

    for (int r = row_min; r <= row_max; r++)
        for (int c = column_min; c <= column_max; c++)
            fill(field, c, r, leap > 1);
    return field->count - before;
}

/* The part of the places within the field's bounds that hold a region. */
static double density(const struct field *field)
{
    return (double)field->count / ((field->last[AXIS_COLUMN] - field->first[AXIS_COLUMN] + 1.0) *
                                   (field->last[AXIS_ROW] - field->first[AXIS_ROW] + 1.0));
}

/* One of a field's four outer lines. */
struct side {
    int *bound; /* the column or row it is */
    int inward; /* 1 or -1 */
    enum axis axis;
};

/* A place of a column or a row, `i` along it. */
static size_t *place_on_line(const struct field *field, enum axis axis, int index, int i)
{
    return axis == AXIS_COLUMN ? place_at(field, index, i) : place_at(field, i, index);
}

static size_t count_line(const struct field *field, enum axis axis, int index)
{
    enum axis along = axis_crossing(axis);
    size_t count = 0;

    for (int i = field->first[along]; i <= field->last[along]; i++)
        count += *place_on_line(field, axis, index, i) != NO_REGION;
    return count;
}

static void clear_line(struct field *field, enum axis axis, int index)
{
    for (int i = -FIELD_MIDDLE; i < FIELD_MIDDLE; i++)
        *place_on_line(field, axis, index, i) = NO_REGION;
}

/* Take off outer lines that are bare, or that one stray region far out holds. */
static void trim_field(struct field *field)
{
    struct side sides[] = {{&field->first[AXIS_COLUMN], 1, AXIS_COLUMN},
                           {&field->last[AXIS_COLUMN], -1, AXIS_COLUMN},
                           {&field->first[AXIS_ROW], 1, AXIS_ROW},
                           {&field->last[AXIS_ROW], -1, AXIS_ROW}};

    for (size_t i = 0; i < 4 && field->count > 1;) {
        struct side *side = &sides[i];
        size_t count = count_line(field, side->axis, *side->bound);
        size_t next = count_line(field, side->axis, *side->bound + side->inward);

        if (count > 1 || (count == 1 && next > 0 && density(field) > DENSITY_STRAY)) {
            i++;
            continue;
        }
        clear_line(field, side->axis, *side->bound);
        *side->bound += side->inward;
        field->count -= count;
        i = 0;
    }
}

static void grow_in_leaps(struct field *field)
{
    for (int leap = 1; leap <= LEAP_MAX; leap++)
        while (grow_once(field, leap) > 0)
            leap = 1;
}

/* Grow from neighbour to neighbour, then over missing places; but where that only scatters the
 * field over a textured desk, keep what was grown without leaps. */
static enum status grow_field(struct field *field, struct error *error)
{
    size_t places = FIELD_SIDE * FIELD_SIDE;
    size_t *core_place = memory_array(places, sizeof *core_place, "a lattice", error);
    struct field core;

    if (!core_place)
        return error->status;
    while (grow_once(field, 1) > 0)
        ;
    trim_field(field);
    core = *field;
    memcpy(core_place, field->place, places * sizeof *core_place);
    if (field->count >= TAKEN_MIN)
        grow_in_leaps(field);
    trim_field(field);
    if (density(field) < DENSITY_MIN && density(&core) >= DENSITY_MIN) {
        *field = core;
        memcpy(field->place, core_place, places * sizeof *core_place);
    }
    free(core_place);
    return STATUS_OK;
}

static enum status nodes_from_field(const struct field *field, struct lattice *lattice,
                                    struct error *error)
{
    const struct regions *regions = field->regions;

    lattice->nodes = memory_array(field->count, sizeof *lattice->nodes, "a lattice", error);
    if (!lattice->nodes)
        return error->status;
    lattice->lines[AXIS_COLUMN] = field->last[AXIS_COLUMN] - field->first[AXIS_COLUMN] + 1;
    lattice->lines[AXIS_ROW] = field->last[AXIS_ROW] - field->first[AXIS_ROW] + 1;
    for (int r = field->first[AXIS_ROW]; r <= field->last[AXIS_ROW]; r++)
        for (int c = field->first[AXIS_COLUMN]; c <= field->last[AXIS_COLUMN]; c++) {
            size_t region = *place_at(field, c, r);

            if (region == NO_REGION)
                continue;
            lattice->nodes[lattice->count++] =
                (struct lattice_node){{c - field->first[AXIS_COLUMN], r - field->first[AXIS_ROW]},
                                      regions->items[region]};
        }
    return STATUS_OK;
}

static enum status lattice_from_field(const struct field *field, struct lattice *lattice,
                                      struct error *error)
{
    enum status status;

    if (field->count < TAKEN_MIN || density(field) < DENSITY_MIN ||
        field->last[AXIS_COLUMN] - field->first[AXIS_COLUMN] < 1 ||
        field->last[AXIS_ROW] - field->first[AXIS_ROW] < 1)
        return STATUS_OK;
    status = nodes_from_field(field, lattice, error);
    if (!status)
        status = lattice_fit(lattice, error);
    if (status == STATUS_NOT_FOUND) { /* no plane fits these regions: they are no lattice */
        lattice->count = 0;
        status = STATUS_OK;
    }
    return status;
}

enum status lattice_grow(const struct regions *regions, const struct lattice_basis *basis,
                         struct lattice *lattice, struct error *error)
{
    struct field field = {.regions = regions, .basis = *basis};
    enum status status;

    field.place = memory_array(FIELD_SIDE * FIELD_SIDE, sizeof *field.place, "a lattice", error);
    field.held = memory_array(regions->count, sizeof *field.held, "a lattice", error);
    field.stale = memory_array(FIELD_SIDE * FIELD_SIDE, 1, "a lattice", error);
    status = field.place && field.held && field.stale ? STATUS_OK : error->status;
    if (!status) {
        memset(field.place, 0xff, FIELD_SIDE * FIELD_SIDE * sizeof *field.place);
        put(&field, 0, 0, basis->seed);
        status = grow_field(&field, error);
    }
    if (!status)
        status = lattice_from_field(&field, lattice, error);
    free(field.stale);
    free(field.held);
    free(field.place);
    return status;
}
