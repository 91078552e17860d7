#include "location/card_pose.h"

#include "base/memory.h"
#include "location/recognition.h"
#include "values/statistics.h"
#include "vision/sampling.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define TURNS 4
#define QUARTER_TURN 1.5707963267948966
#define SLACK 2            /* places a window may stick out of its lattice at each end */
#define WINDOW_NODES_MIN 8 /* regions a window must hold */
#define PATCHES_SEEN_MIN 16 /* of the 24 that must lie inside the photo */
#define GLANCE_RADIUS 0.14 /* of a patch's side: the square glanced at */
#define GLANCE_RADIUS_MAX_PX 4.0
#define MISFIT_MAX 16.0 /* delta E of the rough fit; a wrong turn of a card shows 18 and more */
#define GLANCE_MISFIT_MAX 22.0 /* of a window's own regions: worse is not looked at closely */
#define IRREGULAR_MAX 0.06     /* of the pitch: how far the median region may lie off its place */
#define MARGIN_MIN 1.4         /* the next best reading must fit this much worse */
#define HIDDEN_MISFIT 14.0
#define HIDDEN_RATIO 3.5
#define PATCH_FRACTION_DEFAULT 0.82 /* of the pitch, where no regions tell */

/* One way to lay the card on a lattice. */
struct layout {
    int column, row; /* the window's first place */
    int turns;
    bool mirrored;
};

/* The regions a card may lie on, and the map fitted to them alone. */
struct window {
    struct lattice_node nodes[CARD_PATCHES];
    size_t count;
    struct homography map;
};

/* A layout with how well it fits; no window, no match. */
struct match {
    struct layout layout;
    struct window window;
    struct recognition recognition;
    double next_best;
};

/* The card's 24 colours as a layout has them. */
struct colours {
    struct rgb rgb_linear[CARD_PATCHES];
    bool known[CARD_PATCHES];
};

/* The colour at the middle of each place of a lattice that holds a region. */
struct glances {
    int columns, rows;
    struct rgb *rgb_linear;
    bool *known;
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

/* A quick look at the middle of something of a given size. */
static bool glance_at(const struct photo *photo, struct point middle, double side_px,
                      struct rgb *rgb_linear)
{
    int radius_px = (int)fmin(side_px * GLANCE_RADIUS, GLANCE_RADIUS_MAX_PX);

    return sampling_glance(photo, middle, radius_px, rgb_linear);
}

static void glances_release(struct glances *glances)
{
    free(glances->rgb_linear);
    free(glances->known);
}

/* Glance at each region: a small square about its own middle, wherever the map would have it. */
static enum status glances_take(const struct photo *photo, const struct lattice *lattice,
                                struct glances *glances, struct error *error)
{
    size_t count = (size_t)lattice->columns * (size_t)lattice->rows;

    *glances = (struct glances){lattice->columns, lattice->rows, NULL, NULL};
    glances->rgb_linear = memory_array(count, sizeof *glances->rgb_linear, "colours", error);
    glances->known = memory_array(count, sizeof *glances->known, "colours", error);
    if (!glances->rgb_linear || !glances->known)
        return error->status;
    for (size_t i = 0; i < lattice->count; i++) {
        const struct lattice_node *node = &lattice->nodes[i];
        size_t place = (size_t)node->row * (size_t)lattice->columns + (size_t)node->column;

        glances->known[place] = glance_at(photo, node->region.centre, sqrt(node->region.area_px),
                                          &glances->rgb_linear[place]);
    }
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

/* The colours of the regions in a layout's window; the number of them. */
static int colours_of_regions(const struct glances *glances, const struct layout *layout,
                              struct colours *colours)
{
    int count = 0;

    for (int patch = 0; patch < CARD_PATCHES; patch++) {
        int column, row;
        size_t place;

        place_of_patch(layout, patch, &column, &row);
        colours->known[patch] = false;
        colours->rgb_linear[patch] = (struct rgb){{0, 0, 0}};
        if (column < 0 || row < 0 || column >= glances->columns || row >= glances->rows)
            continue;
        place = (size_t)row * (size_t)glances->columns + (size_t)column;
        colours->known[patch] = glances->known[place];
        colours->rgb_linear[patch] = glances->rgb_linear[place];
        count += glances->known[place];
    }
    return count;
}

/* The colours of all 24 places, also those where no region was seen. */
static void colours_of_places(const struct photo *photo, const struct homography *map,
                              const struct layout *layout, struct colours *colours)
{
    for (int patch = 0; patch < CARD_PATCHES; patch++) {
        int column, row;
        struct quad cell;

        place_of_patch(layout, patch, &column, &row);
        cell = homography_cell(map, row, column);
        colours->rgb_linear[patch] = (struct rgb){{0, 0, 0}};
        colours->known[patch] =
            quad_is_convex(&cell) && glance_at(photo, quad_centre(&cell), sqrt(quad_area(&cell)),
                                               &colours->rgb_linear[patch]);
    }
}

static struct point centre_of_patch(const struct match *match, int patch)
{
    int column, row;

    place_of_patch(&match->layout, patch, &column, &row);
    return homography_apply(&match->window.map, (struct point){column + 0.5, row + 0.5});
}

/* Whether two matches lay the card on the same place of the photo in the same turn, or nearly: one
 * may have bent an outer row out of place. */
static bool same_match(const struct match *a, const struct match *b)
{
    double pitch = point_distance(centre_of_patch(a, 0), centre_of_patch(a, 1));
    int same = 0;

    for (int i = 0; i < CARD_PATCHES; i++)
        same += point_distance(centre_of_patch(a, i), centre_of_patch(b, i)) < pitch / 2;
    return same >= PATCHES_SEEN_MIN;
}

/* Keep the better of two matches, and how well the best other one fits. */
static void keep_better(struct match *best, struct match *other)
{
    struct match *better = other->recognition.misfit < best->recognition.misfit ? other : best;
    struct match *worse = better == best ? other : best;
    double next = worse->window.count && same_match(better, worse) ? worse->next_best
                                                                   : worse->recognition.misfit;

    better->next_best = fmin(better->next_best, next);
    *best = *better;
}

/* Whether the regions lie on their map as a card's do: cards are stiff and exactly made. */
static bool is_regular(const struct window *window)
{
    double off[CARD_PATCHES];

    for (size_t i = 0; i < window->count; i++) {
        const struct lattice_node *node = &window->nodes[i];
        struct quad cell = homography_cell(&window->map, node->row, node->column);
        struct point at = {node->column + 0.5, node->row + 0.5};

        off[i] = point_distance(homography_apply(&window->map, at), node->region.centre) /
                 sqrt(fmax(quad_area(&cell), 1e-9));
    }
    return statistics_median(off, window->count) < IRREGULAR_MAX;
}

/* The regions of a lattice that lie in a layout's window, with a map of their own: a lattice may
 * reach far past the card. */
static bool window_of(const struct lattice *lattice, const struct layout *layout,
                      struct window *window)
{
    struct lattice view = {.nodes = window->nodes};
    struct error ignored;

    for (size_t i = 0; i < lattice->count && view.count < CARD_PATCHES; i++) {
        const struct lattice_node *node = &lattice->nodes[i];

        if (node->column >= layout->column && node->row >= layout->row &&
            node->column < layout->column + window_columns(layout) &&
            node->row < layout->row + window_rows(layout))
            window->nodes[view.count++] = *node;
    }
    if (view.count < WINDOW_NODES_MIN || lattice_fit(&view, &ignored))
        return false;
    window->count = view.count;
    window->map = view.map;
    return is_regular(window);
}

/* Look closely at one layout: all 24 places through the window's own map. */
static void consider(const struct photo *photo, const struct card *card, struct match *match,
                     struct match *best)
{
    struct colours colours;
    int seen = 0;

    colours_of_places(photo, &match->window.map, &match->layout, &colours);
    for (int patch = 0; patch < CARD_PATCHES; patch++)
        seen += colours.known[patch];
    if (seen < PATCHES_SEEN_MIN)
        return;
    match->recognition = recognition_fit(colours.rgb_linear, colours.known, card);
    match->next_best = INFINITY;
    keep_better(best, match);
}

/* Look at the regions of one layout, and closely if they might be the card. */
static void consider_layout(const struct photo *photo, const struct lattice *lattice,
                            const struct glances *glances, const struct card *card,
                            struct match *match, struct match *best)
{
    struct colours colours;
    int count = colours_of_regions(glances, &match->layout, &colours);

    if (count < WINDOW_NODES_MIN ||
        recognition_fit(colours.rgb_linear, colours.known, card).misfit > GLANCE_MISFIT_MAX ||
        !window_of(lattice, &match->layout, &match->window))
        return;
    consider(photo, card, match, best);
}

/* Try every window of a lattice in one turn. */
static void consider_turn(const struct photo *photo, const struct lattice *lattice,
                          const struct glances *glances, const struct card *card,
                          struct layout layout, struct match *best)
{
    int last_column = lattice->columns + SLACK - window_columns(&layout);
    int last_row = lattice->rows + SLACK - window_rows(&layout);

    for (layout.row = -SLACK; layout.row <= last_row; layout.row++)
        for (layout.column = -SLACK; layout.column <= last_column; layout.column++) {
            struct match match = {.layout = layout};

            consider_layout(photo, lattice, glances, card, &match, best);
        }
}

static enum status match_lattice(const struct photo *photo, const struct lattice *lattice,
                                 const struct card *card, struct match *best, struct error *error)
{
    struct glances glances = {0};
    enum status status;

    if (lattice->count < WINDOW_NODES_MIN)
        return STATUS_OK;
    status = glances_take(photo, lattice, &glances, error);
    for (int i = 0; !status && i < 2 * TURNS; i++)
        consider_turn(photo, lattice, &glances, card,
                      (struct layout){.turns = i / 2, .mirrored = i % 2}, best);
    glances_release(&glances);
    return status;
}

/* The fraction of the pitch that a patch fills, from the regions seen. */
static double patch_fraction(const struct window *window)
{
    double sum = 0;

    for (size_t i = 0; i < window->count; i++) {
        const struct lattice_node *node = &window->nodes[i];
        struct quad cell = homography_cell(&window->map, node->row, node->column);

        sum += sqrt(node->region.area_px / fmax(quad_area(&cell), 1.0)) / (double)window->count;
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

/* Quarter turns clockwise from upright, from where the card's upper side points. */
static int turns_of(const struct quad *corners)
{
    struct point along = point_subtract(corners->corner[1], corners->corner[0]);

    return ((int)lround(atan2(along.y, along.x) / QUARTER_TURN) + TURNS) % TURNS;
}

static void pose_from_match(const struct match *match, double fraction, struct card_pose *pose)
{
    const struct recognition *recognition = &match->recognition;

    place_patches(&match->window.map, &match->layout, fraction, pose);
    pose->turns = turns_of(&pose->corners);
    pose->misfit = recognition->misfit;
    pose->next_best = match->next_best;
    for (int i = 0; i < CARD_PATCHES; i++)
        pose->hidden[i] = recognition->off[i] > HIDDEN_MISFIT &&
                          recognition->off[i] > HIDDEN_RATIO * recognition->misfit;
}

static enum status judge(const struct photo *photo, const struct match *match, struct error *error)
{
    if (!match->window.count)
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
    enum status status = STATUS_OK;

    for (size_t i = 0; !status && i < lattices->count; i++)
        status = match_lattice(photo, &lattices->items[i], card, &best, error);
    if (!status)
        status = judge(photo, &best, error);
    if (status)
        return status;
    pose_from_match(&best, patch_fraction(&best.window), pose);
    return STATUS_OK;
}

/* The map of a 6 x 4 lattice whose outer patch corners are given, for patches of a usual size. */
static enum status map_from_corners(const struct quad *corners, struct homography *map,
                                    struct error *error)
{
    double rim = (1 - PATCH_FRACTION_DEFAULT) / 2;
    struct point from[4] = {{rim, rim},
                            {CARD_COLUMNS - rim, rim},
                            {CARD_COLUMNS - rim, CARD_ROWS - rim},
                            {rim, CARD_ROWS - rim}};
    struct homography_points points = {from, corners->corner, NULL, 4, 0};

    return homography_fit(&points, map, error);
}

enum status card_pose_from_corners(const struct photo *photo, const struct quad *corners,
                                   const struct card *card, struct card_pose *pose,
                                   struct error *error)
{
    struct match best = {.recognition = {.misfit = INFINITY}, .next_best = INFINITY};
    enum status status = STATUS_OK;

    for (int i = 0; !status && i < 2 * TURNS; i++) {
        struct match match = {.layout = {.mirrored = i % 2}, .window = {.count = CARD_PATCHES}};
        struct quad turned;

        for (int j = 0; j < 4; j++)
            turned.corner[j] = corners->corner[(j + i / 2) % 4];
        status = map_from_corners(&turned, &match.window.map, error);
        if (!status)
            consider(photo, card, &match, &best);
    }
    if (!status)
        status = judge(photo, &best, error);
    if (status)
        return status;
    pose_from_match(&best, PATCH_FRACTION_DEFAULT, pose);
    pose->given = true;
    return STATUS_OK;
}
