#include "location/card_pose.h"

#include "base/memory.h"
#include "location/recognition.h"
#include "vision/sampling.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define TURNS 4
#define QUARTER_TURN 1.5707963267948966
#define SLACK 2            /* places a window may stick out of its lattice at each end */
#define WINDOW_NODES_MIN 8 /* regions a window must hold */
#define GLANCE_INSET 0.36  /* of a place's pitch left out at each rim when its colour is read */
#define MISFIT_MAX 16.0    /* delta E of the rough fit; a wrong turn of a card shows 18 and more */
#define MARGIN_MIN 1.4     /* the next best reading must fit this much worse */
#define HIDDEN_MISFIT 14.0
#define HIDDEN_RATIO 3.5
#define PATCH_FRACTION_DEFAULT 0.82 /* of the pitch, where no regions tell */

/* One way to lay the card on a lattice. */
struct layout {
    int column, row; /* the window's first place */
    int turns;
    bool mirrored;
};

/* A layout with how well it fits. */
struct match {
    const struct lattice *lattice;
    struct layout layout;
    struct recognition recognition;
    double next_best;
};

/* The colours of a lattice's places, SLACK places beyond its ends. */
struct glances {
    int columns, rows;
    struct rgb *rgb_linear;
    bool *known;
    bool *node;
};

static void place_of_patch(const struct layout *layout, int patch, int *column, int *row)
{
    int across = patch % CARD_COLUMNS, down = patch / CARD_COLUMNS;
    int last_across = CARD_COLUMNS - 1, last_down = CARD_ROWS - 1;

    across = layout->mirrored ? last_across - across : across;
    switch (layout->turns) {
    case 0:
        *column = layout->column + across;
        *row = layout->row + down;
        break;
    case 1:
        *column = layout->column + last_down - down;
        *row = layout->row + across;
        break;
    case 2:
        *column = layout->column + last_across - across;
        *row = layout->row + last_down - down;
        break;
    default:
        *column = layout->column + down;
        *row = layout->row + last_across - across;
    }
}

static size_t glance_index(const struct glances *glances, int column, int row)
{
    return (size_t)(row + SLACK) * (size_t)glances->columns + (size_t)(column + SLACK);
}

static void glance_at(const struct photo *photo, const struct lattice *lattice, int column, int row,
                      struct glances *glances)
{
    struct quad cell = homography_cell(&lattice->map, row, column);
    size_t i = glance_index(glances, column, row);
    struct area_sample sample;
    struct error ignored;

    cell = quad_inset(&cell, GLANCE_INSET);
    glances->known[i] = quad_is_convex(&cell) && !sampling_area(photo, &cell, &sample, &ignored);
    if (glances->known[i])
        glances->rgb_linear[i] = sample.rgb_linear;
}

static void glances_release(struct glances *glances)
{
    free(glances->rgb_linear);
    free(glances->known);
    free(glances->node);
}

static enum status glances_take(const struct photo *photo, const struct lattice *lattice,
                                struct glances *glances, struct error *error)
{
    size_t count;

    glances->columns = lattice->columns + 2 * SLACK;
    glances->rows = lattice->rows + 2 * SLACK;
    count = (size_t)glances->columns * (size_t)glances->rows;
    glances->rgb_linear = memory_array(count, sizeof *glances->rgb_linear, "colours", error);
    glances->known = memory_array(count, sizeof *glances->known, "colours", error);
    glances->node = memory_array(count, sizeof *glances->node, "colours", error);
    if (!glances->rgb_linear || !glances->known || !glances->node)
        return error->status;
    for (int row = -SLACK; row < lattice->rows + SLACK; row++)
        for (int column = -SLACK; column < lattice->columns + SLACK; column++)
            glance_at(photo, lattice, column, row, glances);
    for (size_t i = 0; i < lattice->count; i++)
        glances->node[glance_index(glances, lattice->nodes[i].column, lattice->nodes[i].row)] =
            true;
    return STATUS_OK;
}

static int window_columns(const struct layout *layout)
{
    return layout->turns % 2 ? CARD_ROWS : CARD_COLUMNS;
}

static int window_rows(const struct layout *layout)
{
    return layout->turns % 2 ? CARD_COLUMNS : CARD_ROWS;
}

/* Read the card's 24 colours as one layout has them; false when too few regions lie in it. */
static bool colours_of_layout(const struct glances *glances, const struct layout *layout,
                              struct rgb *rgb_linear, bool *known)
{
    int nodes = 0;

    for (int patch = 0; patch < CARD_PATCHES; patch++) {
        int column, row;
        size_t i;

        place_of_patch(layout, patch, &column, &row);
        i = glance_index(glances, column, row);
        known[patch] = glances->known[i];
        rgb_linear[patch] = glances->rgb_linear[i];
        nodes += glances->node[i];
    }
    return nodes >= WINDOW_NODES_MIN;
}

static struct point centre_of_patch(const struct lattice *lattice, const struct layout *layout,
                                    int patch)
{
    int column, row;

    place_of_patch(layout, patch, &column, &row);
    return homography_apply(&lattice->map, (struct point){column + 0.5, row + 0.5});
}

/* Whether two matches lay the card on the same place of the photo in the same turn. */
static bool same_match(const struct match *a, const struct match *b)
{
    static const int corner_patch[] = {0, CARD_COLUMNS - 1, CARD_PATCHES - 1};
    double pitch = point_distance(centre_of_patch(a->lattice, &a->layout, 0),
                                  centre_of_patch(a->lattice, &a->layout, 1));

    for (int i = 0; i < 3; i++)
        if (point_distance(centre_of_patch(a->lattice, &a->layout, corner_patch[i]),
                           centre_of_patch(b->lattice, &b->layout, corner_patch[i])) > pitch / 2)
            return false;
    return true;
}

/* Keep the better of two matches, and how well the best other one fits. */
static void keep_better(struct match *best, struct match *other)
{
    struct match *better = other->recognition.misfit < best->recognition.misfit ? other : best;
    struct match *worse = better == best ? other : best;
    double next =
        worse->lattice && same_match(better, worse) ? worse->next_best : worse->recognition.misfit;

    better->next_best = fmin(better->next_best, next);
    *best = *better;
}

static void consider(const struct glances *glances, const struct lattice *lattice,
                     const struct card *card, const struct layout *layout, struct match *best)
{
    struct match match = {.lattice = lattice, .layout = *layout, .next_best = INFINITY};
    struct rgb rgb_linear[CARD_PATCHES];
    bool known[CARD_PATCHES];

    if (!colours_of_layout(glances, layout, rgb_linear, known))
        return;
    match.recognition = recognition_fit(rgb_linear, known, card);
    keep_better(best, &match);
}

/* Try every window of one turn. */
static void consider_windows(const struct glances *glances, const struct lattice *lattice,
                             const struct card *card, struct layout layout, struct match *best)
{
    int last_column = lattice->columns + SLACK - window_columns(&layout);
    int last_row = lattice->rows + SLACK - window_rows(&layout);

    for (layout.row = -SLACK; layout.row <= last_row; layout.row++)
        for (layout.column = -SLACK; layout.column <= last_column; layout.column++)
            consider(glances, lattice, card, &layout, best);
}

static enum status match_lattice(const struct photo *photo, const struct lattice *lattice,
                                 const struct card *card, struct match *best, struct error *error)
{
    struct glances glances = {0};
    enum status status = STATUS_OK;

    if (lattice->count < WINDOW_NODES_MIN)
        return STATUS_OK;
    status = glances_take(photo, lattice, &glances, error);
    for (int turns = 0; !status && turns < TURNS; turns++)
        for (int mirrored = 0; mirrored < 2; mirrored++)
            consider_windows(&glances, lattice, card, (struct layout){0, 0, turns, mirrored}, best);
    glances_release(&glances);
    return status;
}

/* The fraction of the pitch that a patch fills, from the regions seen. */
static double patch_fraction(const struct lattice *lattice)
{
    double sum = 0;

    for (size_t i = 0; i < lattice->count; i++) {
        const struct lattice_node *node = &lattice->nodes[i];
        struct quad cell = homography_cell(&lattice->map, node->row, node->column);

        sum += sqrt(node->region.area_px / fmax(quad_area(&cell), 1.0)) / (double)lattice->count;
    }
    return sum > 0.3 && sum < 1.0 ? sum : PATCH_FRACTION_DEFAULT;
}

static void place_patches(const struct homography *map, const struct layout *layout,
                          double fraction, struct card_pose *pose)
{
    static const int corner_patch[4] = {0, CARD_COLUMNS - 1, CARD_PATCHES - 1,
                                        CARD_PATCHES - CARD_COLUMNS};

    for (int patch = 0; patch < CARD_PATCHES; patch++) {
        int column, row;
        struct quad cell;

        place_of_patch(layout, patch, &column, &row);
        cell = homography_cell(map, row, column);
        pose->patch[patch] = quad_inset(&cell, (1 - fraction) / 2);
    }
    for (int i = 0; i < 4; i++) /* a patch's own first corner turns with the card */
        pose->corners.corner[i] = pose->patch[corner_patch[i]].corner[(i + layout->turns) % 4];
}

/* Fit the card's map afresh to the regions under it: a lattice may reach past the card. */
static void tighten(struct match *match, struct lattice *window)
{
    const struct lattice *lattice = match->lattice;
    const struct layout *layout = &match->layout;
    struct error ignored;

    window->count = 0;
    for (size_t i = 0; i < lattice->count && window->count < CARD_PATCHES; i++) {
        const struct lattice_node *node = &lattice->nodes[i];

        if (node->column >= layout->column && node->row >= layout->row &&
            node->column < layout->column + window_columns(layout) &&
            node->row < layout->row + window_rows(layout))
            window->nodes[window->count++] = *node;
    }
    if (!lattice_fit(window, &ignored))
        match->lattice = window;
}

/* Quarter turns clockwise from upright, from where the card's upper side points. */
static int turns_of(const struct quad *corners)
{
    struct point along = point_subtract(corners->corner[1], corners->corner[0]);

    return ((int)lround(atan2(along.y, along.x) / QUARTER_TURN) + TURNS) % TURNS;
}

static void pose_from_match(const struct match *match, double fraction, struct card_pose *pose)
{
    const struct recognition *recognition = &match->recognition;

    place_patches(&match->lattice->map, &match->layout, fraction, pose);
    pose->turns = turns_of(&pose->corners);
    pose->misfit = recognition->misfit;
    pose->next_best = match->next_best;
    for (int i = 0; i < CARD_PATCHES; i++)
        pose->hidden[i] = recognition->off[i] > HIDDEN_MISFIT &&
                          recognition->off[i] > HIDDEN_RATIO * recognition->misfit;
}

static enum status judge(const struct photo *photo, const struct match *match, struct error *error)
{
    if (!match->lattice)
        return error_set(error, STATUS_NOT_FOUND,
                         "%s: no reference card found: no 4 x 6 grid of patches is in the photo; "
                         "photograph the card whole, flat and sharp, or give its four corners "
                         "with --card-at",
                         photo->path);
    if (match->recognition.misfit > MISFIT_MAX)
        return error_set(error, STATUS_NOT_FOUND,
                         "%s: no reference card found: the likeliest grid's colours miss the "
                         "card's by delta E %.0f (%.0f at most is wanted); check that the whole "
                         "card is in the photo, or give its four corners with --card-at",
                         photo->path, match->recognition.misfit, MISFIT_MAX);
    if (match->layout.mirrored)
        return error_set(error, STATUS_NOT_FOUND,
                         "%s: the photo is mirrored: the card's patches run the wrong way round; "
                         "save it unmirrored and measure it again",
                         photo->path);
    if (match->next_best < MARGIN_MIN * match->recognition.misfit)
        return error_set(error, STATUS_NOT_FOUND,
                         "%s: the card can be read in two ways (delta E %.1f and %.1f); "
                         "photograph it in better light, or give its four corners with --card-at",
                         photo->path, match->recognition.misfit, match->next_best);
    return STATUS_OK;
}

enum status card_pose_find(const struct photo *photo, const struct lattices *lattices,
                           const struct card *card, struct card_pose *pose, struct error *error)
{
    struct match best = {.recognition = {.misfit = INFINITY}, .next_best = INFINITY};
    struct lattice_node nodes[CARD_PATCHES];
    struct lattice window = {.nodes = nodes};
    enum status status = STATUS_OK;

    for (size_t i = 0; !status && i < lattices->count; i++)
        status = match_lattice(photo, &lattices->items[i], card, &best, error);
    if (!status)
        status = judge(photo, &best, error);
    if (status)
        return status;
    tighten(&best, &window);
    pose_from_match(&best, patch_fraction(best.lattice), pose);
    return STATUS_OK;
}

/* A 6 x 4 lattice whose outer patch corners are given, for patches of a usual size. */
static enum status lattice_from_corners(const struct quad *corners, struct lattice *lattice,
                                        struct error *error)
{
    double rim = (1 - PATCH_FRACTION_DEFAULT) / 2;
    struct point from[4] = {{rim, rim},
                            {CARD_COLUMNS - rim, rim},
                            {CARD_COLUMNS - rim, CARD_ROWS - rim},
                            {rim, CARD_ROWS - rim}};

    for (int i = 0; i < CARD_PATCHES; i++)
        lattice->nodes[i] =
            (struct lattice_node){.column = i % CARD_COLUMNS, .row = i / CARD_COLUMNS};
    lattice->count = CARD_PATCHES;
    lattice->columns = CARD_COLUMNS;
    lattice->rows = CARD_ROWS;
    return homography_fit(from, corners->corner, NULL, 4, &lattice->map, error);
}

static enum status match_corners(const struct photo *photo, const struct lattice *lattice,
                                 const struct card *card, struct match *best, struct error *error)
{
    struct glances glances = {0};
    enum status status = glances_take(photo, lattice, &glances, error);

    for (int mirrored = 0; !status && mirrored < 2; mirrored++)
        consider(&glances, lattice, card, &(struct layout){.mirrored = mirrored}, best);
    glances_release(&glances);
    return status;
}

enum status card_pose_from_corners(const struct photo *photo, const struct quad *corners,
                                   const struct card *card, struct card_pose *pose,
                                   struct error *error)
{
    struct match best = {.recognition = {.misfit = INFINITY}, .next_best = INFINITY};
    struct lattice_node nodes[TURNS][CARD_PATCHES];
    struct lattice lattices[TURNS];
    enum status status = STATUS_OK;

    memset(lattices, 0, sizeof lattices);
    for (int turns = 0; !status && turns < TURNS; turns++) {
        struct quad turned;

        for (int i = 0; i < 4; i++)
            turned.corner[i] = corners->corner[(i + turns) % 4];
        lattices[turns].nodes = nodes[turns];
        status = lattice_from_corners(&turned, &lattices[turns], error);
        if (!status)
            status = match_corners(photo, &lattices[turns], card, &best, error);
    }
    if (!status)
        status = judge(photo, &best, error);
    if (status)
        return status;
    pose_from_match(&best, PATCH_FRACTION_DEFAULT, pose);
    pose->given = true;
    return STATUS_OK;
}
