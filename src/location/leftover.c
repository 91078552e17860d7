#include "location/leftover.h"

#include "location/cell_box.h"
#include "location/ink.h"
#include "location/warp.h"

#include <math.h>

#define REACH 1.7          /* pitches outside the chart that are looked at */
#define RIM 0.1            /* pitches from a cell's edge to where its paper is looked for */
#define APART 0.5          /* pitches: nearer sightings are of one cell */
#define TOUCHING_HALF 0.46 /* of the pitch: cells this wide touch, and may make no regions */
#define KNOWN_MAX 16       /* more need not be counted */

/* What a chart's cells are like, to hold other regions against. */
struct likeness {
    struct warp warp;
    struct homography inverse;
    struct cell_box usual;
    struct point far; /* the chart's end on its plane */
};

static enum status likeness_of(const struct lattice *lattice, struct likeness *likeness,
                               struct error *error)
{
    enum status status = warp_fit(lattice, &likeness->warp, error);

    likeness->inverse = homography_invert(&lattice->map);
    likeness->far = lattice_plane(&lattice->column_gaps, &lattice->row_gaps,
                                  (struct point){lattice->columns, lattice->rows});
    if (!status)
        status = cell_box_usual(lattice, &likeness->warp, &likeness->usual, error);
    return status;
}

/* Whether a place lies beside the chart, not in it and not far from it. */
static bool is_beside(const struct likeness *likeness, struct point at)
{
    bool inside = at.x > 0 && at.y > 0 && at.x < likeness->far.x && at.y < likeness->far.y;

    return !inside && at.x > -REACH && at.y > -REACH && at.x < likeness->far.x + REACH &&
           at.y < likeness->far.y + REACH;
}

static bool looks_like_cell(const struct photo *photo, const struct likeness *likeness,
                            const struct region *region, struct point at,
                            const struct card_pose *card)
{
    const struct lattice_node node = {(int)floor(at.x), (int)floor(at.y), *region};
    struct cell_box box = cell_box_of_node(&likeness->warp, &node);
    struct cell_box around = {at, box.half_column + RIM, box.half_row + RIM};

    return cell_box_is_usual(&box, &likeness->usual) &&
           ink_is_on_paper(photo, &likeness->inverse, &around, card);
}

static bool is_known(const struct point *known, int count, struct point at)
{
    for (int i = 0; i < count; i++)
        if (point_distance(known[i], at) < APART)
            return true;
    return false;
}

static bool is_on_card(const struct card_pose cards[2], struct point at)
{
    return quad_contains(&cards[0].corners, at) ||
           (cards[1].found && quad_contains(&cards[1].corners, at));
}

/* A place of the ring around the chart that is inked, with its paper around it. */
static bool is_inked_place(const struct photo *photo, const struct likeness *likeness, int column,
                           int row, const struct card_pose cards[2])
{
    struct point at = lattice_plane(&likeness->warp.column_gaps, &likeness->warp.row_gaps,
                                    (struct point){column + 0.5, row + 0.5});
    struct cell_box around = {at, likeness->usual.half_column + RIM,
                              likeness->usual.half_row + RIM};

    return !is_on_card(cards,
                       warp_apply(&likeness->warp, (struct point){column + 0.5, row + 0.5})) &&
           ink_look(photo, &likeness->warp, column, row) == INK_SEEN &&
           ink_is_on_paper(photo, &likeness->inverse, &around, &cards[0]);
}

/* The inked places beside the chart, on its four sides: cells that touch make no regions. */
static int inked_around(const struct photo *photo, const struct likeness *likeness,
                        const struct lattice *lattice, const struct card_pose cards[2])
{
    int count = 0;

    for (int row = 0; row < lattice->rows; row++)
        count += is_inked_place(photo, likeness, -1, row, cards) +
                 is_inked_place(photo, likeness, lattice->columns, row, cards);
    for (int column = 0; column < lattice->columns; column++)
        count += is_inked_place(photo, likeness, column, -1, cards) +
                 is_inked_place(photo, likeness, column, lattice->rows, cards);
    return count;
}

enum status leftover_count(const struct photo *photo, const struct regions *regions,
                           const struct card_pose cards[2], const struct lattice *lattice,
                           int *count, struct error *error)
{
    struct likeness likeness;
    struct point known[KNOWN_MAX];
    enum status status = likeness_of(lattice, &likeness, error);

    *count = 0;
    for (size_t i = 0; !status && i < regions->count && *count < KNOWN_MAX; i++) {
        const struct region *region = &regions->items[i];
        struct point at = homography_apply(&likeness.inverse, region->centre);

        if (is_beside(&likeness, at) && !is_on_card(cards, region->centre) &&
            !is_known(known, *count, at) &&
            looks_like_cell(photo, &likeness, region, at, &cards[0]))
            known[(*count)++] = at;
    }
    if (!status && fmax(likeness.usual.half_column, likeness.usual.half_row) > TOUCHING_HALF) {
        int inked = inked_around(photo, &likeness, lattice, cards);

        *count = inked > *count ? inked : *count;
    }
    return status;
}
