#include "card_match.h"

#include "base/memory.h"
#include "values/statistics.h"
#include "vision/sampling.h"

#include <math.h>
#include <stdlib.h>

#define SLACK 2 /* places a window may stick out of its lattice at each end */
/* One patch in so many must be a region of a window; by `make slack` 2 and 4 do as well. */
#define WINDOW_NODES_PART 3
#define PATCHES_SEEN_PART (2.0 / 3) /* of the patches, that must lie inside the photo */
#define GLANCE_RADIUS 0.14          /* of a patch's side: the square glanced at */
#define GLANCE_RADIUS_MAX_PX 4.0
/* Of a window's own regions: worse is not looked at closely, for it could be neither the card,
 * which misses by 16 at most, nor so near to it that the card could be read in two ways. */
#define GLANCE_MISFIT_MAX 19.0
#define CONTRAST_MIN 4.0   /* of green: a card's white has 30 times the light of its black */
#define IRREGULAR_MAX 0.06 /* of the pitch: how far the median region may lie off its place */

struct card_matches card_match_none(void)
{
    const struct card_match none = {.recognition = {.misfit = INFINITY}, .next_best = INFINITY};

    return (struct card_matches){none, none};
}

/* The card's colours as a layout has them. */
struct colours {
    struct rgb rgb_linear[CARD_PATCHES_MAX];
    bool known[CARD_PATCHES_MAX];
};

/* The colour at the middle of each place of a lattice that holds a region. */
struct glances {
    int columns, rows;
    struct rgb *rgb_linear;
    bool *known;
};

void card_match_place(const struct card_layout *layout, int patch, int *column, int *row)
{
    int across = patch % layout->shape.columns, down = patch / layout->shape.columns;
    int last_across = layout->shape.columns - 1, last_down = layout->shape.rows - 1;

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
    size_t count = (size_t)lattice->lines[AXIS_COLUMN] * (size_t)lattice->lines[AXIS_ROW];

    *glances = (struct glances){lattice->lines[AXIS_COLUMN], lattice->lines[AXIS_ROW], NULL, NULL};
    glances->rgb_linear = memory_array(count, sizeof *glances->rgb_linear, "colours", error);
    glances->known = memory_array(count, sizeof *glances->known, "colours", error);
    if (!glances->rgb_linear || !glances->known)
        return error->status;
    for (size_t i = 0; i < lattice->count; i++) {
        const struct lattice_node *node = &lattice->nodes[i];
        size_t place = (size_t)node->at[AXIS_ROW] * (size_t)lattice->lines[AXIS_COLUMN] +
                       (size_t)node->at[AXIS_COLUMN];

        glances->known[place] = glance_at(photo, node->region.centre, sqrt(node->region.area_px),
                                          &glances->rgb_linear[place]);
    }
    return STATUS_OK;
}

static int window_columns(const struct card_layout *layout)
{
    return layout->turns % 2 ? layout->shape.rows : layout->shape.columns;
}

static int window_rows(const struct card_layout *layout)
{
    return layout->turns % 2 ? layout->shape.columns : layout->shape.rows;
}

/* The colours of the regions in a layout's window; the number of them. */
static int colours_of_regions(const struct glances *glances, const struct card_layout *layout,
                              struct colours *colours)
{
    int count = 0;

    for (int patch = 0; patch < layout->shape.patches; patch++) {
        int column, row;
        size_t place;

        card_match_place(layout, patch, &column, &row);
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

/* The colours of all places, also those where no region was seen. */
static void colours_of_places(const struct photo *photo, const struct homography *map,
                              const struct card_layout *layout, struct colours *colours)
{
    for (int patch = 0; patch < layout->shape.patches; patch++) {
        int column, row;
        struct quad cell;

        card_match_place(layout, patch, &column, &row);
        cell = homography_cell(map, row, column);
        colours->rgb_linear[patch] = (struct rgb){{0, 0, 0}};
        colours->known[patch] =
            quad_is_convex(&cell) && glance_at(photo, quad_centre(&cell), sqrt(quad_area(&cell)),
                                               &colours->rgb_linear[patch]);
    }
}

static struct point centre_of_patch(const struct card_match *match, int patch)
{
    int column, row;

    card_match_place(&match->layout, patch, &column, &row);
    return homography_apply(&match->window.map, (struct point){column + 0.5, row + 0.5});
}

/* Whether so many patches are enough of a card to know it by. */
static bool is_most(int seen, const struct card_shape *shape)
{
    return seen >= PATCHES_SEEN_PART * shape->patches;
}

/* Whether two matches lay the card on the same place of the photo in the same turn, or nearly: one
 * may have bent an outer row out of place. */
static bool same_match(const struct card_match *a, const struct card_match *b)
{
    double pitch = point_distance(centre_of_patch(a, 0), centre_of_patch(a, 1));
    int same = 0;

    for (int i = 0; i < a->layout.shape.patches; i++)
        same += point_distance(centre_of_patch(a, i), centre_of_patch(b, i)) < pitch / 2;
    return is_most(same, &a->layout.shape);
}

/* Keep the better of two matches of one card, and how well the best other one fits. */
static void keep_better(struct card_match *best, struct card_match *other)
{
    struct card_match *better = other->recognition.misfit < best->recognition.misfit ? other : best;
    struct card_match *worse = better == best ? other : best;
    double next = worse->window.count && same_match(better, worse) ? worse->next_best
                                                                   : worse->recognition.misfit;

    better->next_best = fmin(better->next_best, next);
    *best = *better;
}

/* Whether two matches lie over one another, so that only one of them can be a card. */
static bool overlap(const struct card_match *a, const struct card_match *b)
{
    const int last = a->layout.shape.patches - 1;
    struct point middle_a = point_between(centre_of_patch(a, 0), centre_of_patch(a, last), 0.5);
    struct point middle_b = point_between(centre_of_patch(b, 0), centre_of_patch(b, last), 0.5);
    double pitch = point_distance(centre_of_patch(a, 0), centre_of_patch(a, 1));

    return point_distance(middle_a, middle_b) < a->layout.shape.rows * pitch;
}

/* Keep the best match, and the best that lies elsewhere: a photo may show two cards. */
static void keep(struct card_matches *matches, struct card_match *match)
{
    struct card_match *first = &matches->first, *second = &matches->second;
    struct card_match swap;

    if (!first->window.count || overlap(first, match))
        keep_better(first, match);
    else if (second->window.count && overlap(second, match))
        keep_better(second, match);
    else if (match->recognition.misfit < second->recognition.misfit)
        *second = *match;
    if (second->recognition.misfit < first->recognition.misfit) {
        swap = *first;
        *first = *second;
        *second = swap;
    }
}

/* Whether the regions lie on their map as a card's do: cards are stiff and exactly made. */
static bool is_regular(const struct card_window *window)
{
    double off[CARD_PATCHES_MAX];

    for (size_t i = 0; i < window->count; i++) {
        const struct lattice_node *node = &window->nodes[i];
        struct quad cell = homography_cell(&window->map, node->at[AXIS_ROW], node->at[AXIS_COLUMN]);

        off[i] = point_distance(homography_apply(&window->map, lattice_node_middle(node)),
                                node->region.centre) /
                 sqrt(fmax(quad_area(&cell), 1e-9));
    }
    return statistics_median(off, window->count) < IRREGULAR_MAX;
}

/* The regions of a lattice that lie in a layout's window, with a map of their own: a lattice may
 * reach far past the card. None if they don't lie as a card's patches do. */
static enum status window_of(const struct lattice *lattice, const struct card_layout *layout,
                             struct card_window *window, struct error *error)
{
    struct lattice view = {.nodes = window->nodes};
    const size_t patches = (size_t)layout->shape.patches;
    enum status status;

    for (size_t i = 0; i < lattice->count && view.count < patches; i++) {
        const struct lattice_node *node = &lattice->nodes[i];

        if (node->at[AXIS_COLUMN] >= layout->column && node->at[AXIS_ROW] >= layout->row &&
            node->at[AXIS_COLUMN] < layout->column + window_columns(layout) &&
            node->at[AXIS_ROW] < layout->row + window_rows(layout))
            window->nodes[view.count++] = *node;
    }
    if (view.count < patches / WINDOW_NODES_PART)
        return STATUS_OK;
    status = lattice_fit(&view, error);
    if (status)
        return status == STATUS_MEMORY ? status : STATUS_OK;
    window->count = view.count;
    window->map = view.map;
    if (!is_regular(window))
        window->count = 0;
    return STATUS_OK;
}

/* Look closely at one layout: all its places through the window's own map. */
void card_match_consider(const struct photo *photo, const struct card *card,
                         struct card_match *match, struct card_matches *best)
{
    struct colours colours;
    int seen = 0;

    colours_of_places(photo, &match->window.map, &match->layout, &colours);
    for (int patch = 0; patch < card->shape.patches; patch++)
        seen += colours.known[patch];
    if (!is_most(seen, &card->shape))
        return;
    match->recognition = recognition_fit(colours.rgb_linear, colours.known, card);
    match->next_best = INFINITY;
    keep(best, match);
}

/* Whether the colours reach from light to dark as a card's do; a desk's texture does not. */
static bool has_contrast(const struct colours *colours, int patches)
{
    double low = INFINITY, high = 0;

    for (int patch = 0; patch < patches; patch++)
        if (colours->known[patch]) {
            low = fmin(low, colours->rgb_linear[patch].channel[1]);
            high = fmax(high, colours->rgb_linear[patch].channel[1]);
        }
    return high > CONTRAST_MIN * low;
}

/* What is tried, and the best of it so far. */
struct search {
    const struct photo *photo;
    const struct lattice *lattice;
    const struct card *card;
    struct glances glances;
    struct card_matches *best;
};

/* Look at the regions of one layout, and closely if they might be the card. */
static enum status consider_layout(const struct search *search, const struct card_layout *layout,
                                   struct error *error)
{
    struct card_match match = {.layout = *layout};
    struct colours colours;
    int count = colours_of_regions(&search->glances, layout, &colours);
    enum status status;

    if (count < layout->shape.patches / WINDOW_NODES_PART ||
        !has_contrast(&colours, layout->shape.patches) ||
        recognition_fit(colours.rgb_linear, colours.known, search->card).misfit > GLANCE_MISFIT_MAX)
        return STATUS_OK;
    status = window_of(search->lattice, layout, &match.window, error);
    if (!status && match.window.count)
        card_match_consider(search->photo, search->card, &match, search->best);
    return status;
}

/* Try every window of a lattice in one turn. */
static enum status consider_turn(const struct search *search, struct card_layout layout,
                                 struct error *error)
{
    int last_column = search->lattice->lines[AXIS_COLUMN] + SLACK - window_columns(&layout);
    int last_row = search->lattice->lines[AXIS_ROW] + SLACK - window_rows(&layout);
    enum status status = STATUS_OK;

    for (layout.row = -SLACK; layout.row <= last_row; layout.row++)
        for (layout.column = -SLACK; !status && layout.column <= last_column; layout.column++)
            status = consider_layout(search, &layout, error);
    return status;
}

enum status card_match_lattice(const struct photo *photo, const struct lattice *lattice,
                               const struct card *card, bool mirrored, struct card_matches *best,
                               struct error *error)
{
    struct search search = {photo, lattice, card, {0}, best};
    enum status status;

    if (lattice->count < (size_t)(card->shape.patches / WINDOW_NODES_PART))
        return STATUS_OK;
    status = glances_take(photo, lattice, &search.glances, error);
    for (int turns = 0; !status && turns < CARD_TURNS; turns++)
        status = consider_turn(
            &search,
            (struct card_layout){.shape = card->shape, .turns = turns, .mirrored = mirrored},
            error);
    glances_release(&search.glances);
    return status;
}
