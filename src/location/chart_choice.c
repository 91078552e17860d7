#include "chart_choice.h"

#include "base/memory.h"
#include "cell_box.h"
#include "chart_extent.h"
#include "chart_lines.h"
#include "ink.h"
#include "warp.h"

#include <math.h>
#include <stdbool.h>
#include <stdlib.h>
#include <string.h>

#define NODES_MIN 4
#define MISFIT_NODES_MIN 9 /* fewer do not fix a map that one could be a misfit of */
#define CARD_MARGIN 0.06   /* of the card's side: regions this near are its frame */
#define OFF_MAX 0.3        /* of the pitch: a cell's middle lies no farther off its place */
#define CARD_COVERED_MAX 4 /* patches that may lie within a chart's bounds: the card's corner */
#define OTHER_INK_MIN 0.15 /* of the most: a lattice with less is no second chart */
#define OTHER_NODES_MIN 6

/* The regions that do not lie on a card or its frame; still sorted by x. */
static enum status regions_off_cards(const struct regions *regions, const struct card_pose cards[2],
                                     struct regions *off, struct error *error)
{
    struct quad areas[2] = {quad_inset(&cards[0].corners, -CARD_MARGIN),
                            quad_inset(&cards[1].corners, -CARD_MARGIN)};

    off->items = memory_array(regions->count, sizeof *off->items, "regions", error);
    if (!off->items)
        return error->status;
    for (size_t i = 0; i < regions->count; i++)
        if (!quad_contains(&areas[0], regions->items[i].centre) &&
            !(cards[1].found && quad_contains(&areas[1], regions->items[i].centre)))
            off->items[off->count++] = regions->items[i];
    return STATUS_OK;
}

/* Drop the nodes that are not where, or not of the size, that cells are: clutter at the rim. */
static enum status drop_misfits(struct lattice *lattice, struct error *error)
{
    struct warp warp;
    struct cell_box usual = {{0, 0}, {0, 0}};
    enum status status = warp_fit(lattice, &warp, error);
    size_t kept = 0;

    if (!status)
        status = cell_box_usual(lattice, &warp, &usual, error);
    for (size_t i = 0; !status && i < lattice->count; i++) {
        struct lattice_node *node = &lattice->nodes[i];
        struct cell_box box = cell_box_of_node(&warp, node);
        double off = point_distance(box.middle, lattice_node_middle(node));

        if (off < OFF_MAX && cell_box_is_usual(&box, &usual))
            lattice->nodes[kept++] = *node;
    }
    lattice->count = status ? lattice->count : kept;
    return status;
}

static struct quad bounds_of(const struct lattice *lattice)
{
    struct point far = lattice_plane(
        lattice->gaps, (struct point){lattice->lines[AXIS_COLUMN], lattice->lines[AXIS_ROW]});
    struct homography stretched = {{far.x, 0, 0, 0, far.y, 0, 0, 0, 1}};
    struct homography map = homography_compose(&lattice->map, &stretched);

    return homography_cell(&map, 0, 0);
}

/* Whether a lattice reaches over the card: then it runs from sheet to sheet, and is no chart. */
static bool covers_card(const struct lattice *lattice, const struct card_pose *card)
{
    struct quad bounds = bounds_of(lattice);
    int covered = 0;

    for (int i = 0; i < CARD_PATCHES; i++)
        covered += quad_contains(&bounds, quad_centre(&card->patch[i]));
    return covered > CARD_COVERED_MAX;
}

/* Cut off what runs on into other sheets; these parts go behind the other lattices. */
static enum status split_sheets(const struct photo *photo, const struct card_pose cards[2],
                                struct lattice *lattice, struct lattices *lattices,
                                struct error *error)
{
    enum status status = STATUS_OK;
    bool cut = true;

    while (!status && cut && lattice->count >= NODES_MIN) {
        struct lattice rest = {0};

        status = chart_extent_split(photo, cards, lattice, &rest, error);
        cut = rest.nodes != NULL;
        if (!status && rest.count >= NODES_MIN)
            status = lattices_add(lattices, &rest, error);
        else
            free(rest.nodes);
    }
    return status;
}

/* Keep of a lattice what can be a chart: cells of one size on white paper, no stray rim. */
static enum status clean_lattice(const struct photo *photo, const struct card_pose cards[2],
                                 struct lattice *lattice, struct lattices *lattices,
                                 struct error *error)
{
    struct warp warp;
    enum status status = warp_fit(lattice, &warp, error);

    if (!status)
        status = ink_keep_on_paper(photo, &warp, &cards[0], lattice, error);
    if (!status && lattice->count >= NODES_MIN)
        status = lattice_fit(lattice, error);
    if (!status && lattice->count >= MISFIT_NODES_MIN)
        status = drop_misfits(lattice, error);
    if (!status)
        status = split_sheets(photo, cards, lattice, lattices, error);
    if (!status && lattice->count >= NODES_MIN)
        status = chart_extent_trim(lattice, error);
    if (!status && lattice->count >= NODES_MIN && covers_card(lattice, &cards[0]))
        lattice->count = 0;
    if (status == STATUS_NOT_FOUND) { /* no plane fits what is left: no chart */
        lattice->count = 0;
        status = STATUS_OK;
    }
    return status;
}

/* Clean all lattices, also those that come of it; they may move in memory meanwhile. */
static enum status clean_all(const struct photo *photo, const struct card_pose cards[2],
                             struct lattices *lattices, struct error *error)
{
    enum status status = STATUS_OK;

    for (size_t i = 0; !status && i < lattices->count; i++) {
        struct lattice lattice = lattices->items[i];

        status = clean_lattice(photo, cards, &lattice, lattices, error);
        lattices->items[i] = lattice;
    }
    return status;
}

/* How much ink a lattice shows, in square pixels; less where it leaves places bare, as one laid
 * askew over the chart does. */
static enum status ink_of(const struct photo *photo, const struct lattice *lattice, double *ink,
                          struct error *error)
{
    struct warp warp;
    enum status status = STATUS_OK;
    size_t inked = 0;

    *ink = 0;
    if (lattice->count < NODES_MIN)
        return STATUS_OK;
    status = warp_fit(lattice, &warp, error);
    for (size_t i = 0; !status && i < lattice->count; i++) {
        const struct lattice_node *node = &lattice->nodes[i];

        if (ink_look(photo, &warp, node->at[AXIS_COLUMN], node->at[AXIS_ROW]) == INK_SEEN) {
            *ink += node->region.area_px;
            inked++;
        }
    }
    *ink *= (double)inked / ((double)lattice->lines[AXIS_ROW] * lattice->lines[AXIS_COLUMN]);
    return status;
}

/* Whether two lattices lie over one another: then they are two readings of one chart. */
static bool overlap(const struct lattice *a, const struct lattice *b)
{
    struct quad bounds_a = bounds_of(a), bounds_b = bounds_of(b);

    for (size_t i = 0; i < b->count; i++)
        if (quad_contains(&bounds_a, b->nodes[i].region.centre))
            return true;
    for (size_t i = 0; i < a->count; i++)
        if (quad_contains(&bounds_b, a->nodes[i].region.centre))
            return true;
    return false;
}

/* Insert a lattice among the choices, most ink first, and drop those with less that it covers. */
static void insert(struct chart_choices *choices, struct lattice *lattice, double ink)
{
    int kept = 0;

    for (int i = 0; i < choices->count; i++)
        if (choices->items[i].ink >= ink && overlap(choices->items[i].lattice, lattice))
            return;
    for (int i = 0; i < choices->count; i++)
        if (!overlap(choices->items[i].lattice, lattice))
            choices->items[kept++] = choices->items[i];
    choices->count = kept < CHARTS_MAX ? kept + 1 : CHARTS_MAX;
    kept = choices->count - 1;
    for (; kept > 0 && choices->items[kept - 1].ink < ink; kept--)
        choices->items[kept] = choices->items[kept - 1];
    choices->items[kept] = (struct chart_choice){lattice, ink, 0};
}

/* A second chart must be one clearly: clutter can hold a few squares of ink in rows. */
static void drop_faint(struct chart_choices *choices)
{
    int kept = 0;

    for (int i = 0; i < choices->count; i++)
        if (i == 0 || (choices->items[i].ink > OTHER_INK_MIN * choices->items[0].ink &&
                       choices->items[i].lattice->count >= OTHER_NODES_MIN))
            choices->items[kept++] = choices->items[i];
    choices->count = kept;
}

/* Side by side the left one comes first, else the upper one. */
static bool comes_before(const struct lattice *a, const struct lattice *b)
{
    struct quad bounds_a = bounds_of(a), bounds_b = bounds_of(b);
    struct point middle_a = quad_centre(&bounds_a), middle_b = quad_centre(&bounds_b);

    if (fabs(middle_a.x - middle_b.x) > fabs(middle_a.y - middle_b.y))
        return middle_a.x < middle_b.x;
    return middle_a.y < middle_b.y;
}

static void number(struct chart_choices *choices)
{
    for (int i = 0; i < choices->count; i++) {
        choices->items[i].number = 1;
        for (int j = 0; j < choices->count; j++)
            choices->items[i].number +=
                j != i && comes_before(choices->items[j].lattice, choices->items[i].lattice);
    }
}

/* Whether columns and rows mostly follow at one pitch, as also in groups; one laid askew over
 * charts takes in all that stands in line with it, at any distance. */
static bool is_regular(const struct lattice *lattice)
{
    for (enum axis axis = AXIS_COLUMN; axis < AXES; axis++)
        if (2 * lattice->gaps[axis].count > lattice->lines[axis])
            return false;
    return true;
}

/* Let each lattice that shows ink take in the columns and rows that stand wider apart; what
 * shows little is no chart and not worth the while. */
static enum status choose(const struct photo *photo, const struct regions *regions,
                          const struct card_pose cards[2], struct chart_choices *choices,
                          struct error *error)
{
    size_t count = choices->lattices.count;
    double *ink = memory_array(count, sizeof *ink, "charts", error);
    double most = 0;
    enum status status = ink ? STATUS_OK : error->status;

    for (size_t i = 0; !status && i < count; i++) {
        status = ink_of(photo, &choices->lattices.items[i], &ink[i], error);
        most = fmax(most, ink[i]);
    }
    for (size_t i = 0; !status && i < count; i++) {
        struct lattice *lattice = &choices->lattices.items[i];

        if (ink[i] <= OTHER_INK_MIN * most)
            continue;
        status = chart_lines_gather(photo, regions, cards, lattice, error);
        if (!status)
            status = ink_of(photo, lattice, &ink[i], error);
        if (!status && ink[i] > 0 && is_regular(lattice))
            insert(choices, lattice, ink[i]);
    }
    free(ink);
    return status;
}

/* Find lattices among the inked regions alone, then among all: labels and the paper between cells
 * make regions too, and a lattice that rests on them lies askew; where cells are pale, ink tells
 * little. */
static enum status find_lattices(const struct photo *photo, const struct regions *regions,
                                 struct lattices *lattices, struct error *error)
{
    struct regions inked = {0};
    enum status status;

    inked.items = memory_array(regions->count, sizeof *inked.items, "regions", error);
    if (!inked.items)
        return error->status;
    for (size_t i = 0; i < regions->count; i++)
        if (ink_in_region(photo, &regions->items[i]))
            inked.items[inked.count++] = regions->items[i];
    status = lattice_find_all(&inked, lattices, error);
    if (!status)
        status = lattice_find_all(regions, lattices, error);
    regions_release(&inked);
    return status;
}

enum status chart_choice_find(const struct photo *photo, const struct regions *regions,
                              const struct card_pose cards[2], struct chart_choices *choices,
                              struct error *error)
{
    struct regions off_card = {0};
    enum status status = regions_off_cards(regions, cards, &off_card, error);

    if (!status)
        status = find_lattices(photo, &off_card, &choices->lattices, error);
    if (!status)
        status = clean_all(photo, cards, &choices->lattices, error);
    if (!status)
        status = choose(photo, regions, cards, choices, error);
    drop_faint(choices);
    number(choices);
    regions_release(&off_card);
    return status;
}

void chart_choices_release(struct chart_choices *choices)
{
    lattices_release(&choices->lattices);
    memset(choices, 0, sizeof *choices);
}
