#include "location/card_pose.h"

#include "card_match.h"
#include "outline.h"
#include "values/statistics.h"
#include "values/angle.h"

#include <math.h>
#include <string.h>

#define PATCH_READ_INSET 0.15 /* of its side: as measurement reads a patch */
/* Delta E of the rough fit, its mean over all patches: a card with a third of it covered misses by
 * 13, a wrong turn of a card by 18 and more. */
#define MISFIT_MAX 16.0
/* And over half of them: 16 real photos of cards show 4 to 7, and a card with a third covered 10;
 * other colour charts taken for a card 13 to 26, though their mean is below 16. */
#define MEDIAN_MISFIT_MAX 11.5
#define MARGIN_MIN 1.2 /* the next best reading must fit this much worse */
#define HIDDEN_MISFIT 14.0
#define HIDDEN_RATIO 3.5
#define PATCH_FRACTION_DEFAULT 0.82 /* of the pitch, where no regions tell */
#define SECOND_MISFIT_MAX 10.0
/* A card that fits as well is not looked for in the mirror: there it misses by 14 and more. */
#define SURE_MISFIT 10.0
#define REFINED_PART                                                                               \
    3 /* one in so many patches' whose edges must be seen to trust them over the regions */
#define FIT_ROUNDS 4
#define OFF_SCALE_PX 1.0 /* corners farther off the card's map lose their weight */

/* The fraction of the pitch that a patch fills, from the regions seen. */
static double patch_fraction(const struct card_window *window)
{
    double sum = 0;

    for (size_t i = 0; i < window->count; i++) {
        const struct lattice_node *node = &window->nodes[i];
        struct quad cell = homography_cell(&window->map, node->at[AXIS_ROW], node->at[AXIS_COLUMN]);

        sum += sqrt(node->region.area_px / fmax(quad_area(&cell), 1.0)) / (double)window->count;
    }
    return sum > 0.3 && sum < 1.0 ? sum : PATCH_FRACTION_DEFAULT;
}

static void place_patches(const struct homography *map, const struct card_layout *layout,
                          double fraction, struct card_pose *pose)
{
    const struct card_shape *shape = &layout->shape;
    const int corner_patch[4] = {0, shape->columns - 1, shape->patches - 1,
                                 shape->patches - shape->columns};

    for (int patch = 0; patch < shape->patches; patch++) {
        int column, row;
        struct quad cell;

        card_match_place(layout, patch, &column, &row);
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

    return ((int)lround(atan2(along.y, along.x) / (ANGLE_FULL_TURN / 4)) + CARD_TURNS) % CARD_TURNS;
}

/* How much of its pitch a patch fills, from the outlines refined so far. */
static double gather_outlines(const struct card_layout *layout, const struct homography *map,
                              const struct card_pose *pose, const bool *refined)
{
    struct homography inverse = homography_invert(map);
    double halves[CARD_PATCHES_MAX * 4];
    size_t count = 0;

    for (int patch = 0; patch < layout->shape.patches; patch++)
        for (int i = 0; refined[patch] && i < 4; i++) {
            struct point at = homography_apply(&inverse, pose->patch[patch].corner[i]);
            int column, row;

            card_match_place(layout, patch, &column, &row);
            halves[count++] = fmax(fabs(at.x - column - 0.5), fabs(at.y - row - 0.5));
        }
    return 2 * statistics_median(halves, count);
}

/* Fit the card's map to the refined corners of its patches: it is stiff, so all serve one map. */
static enum status fit_outlines(const struct card_layout *layout, const struct card_pose *pose,
                                const bool *refined, double fraction, struct homography *map,
                                struct error *error)
{
    struct point from[CARD_PATCHES_MAX * 4], to[CARD_PATCHES_MAX * 4];
    double weight[CARD_PATCHES_MAX * 4];
    struct homography_points points = {from, to, weight, 0, 0};
    double rim = (1 - fraction) / 2;
    enum status status = STATUS_OK;

    for (int patch = 0; patch < layout->shape.patches; patch++)
        for (int i = 0; refined[patch] && i < 4; i++) {
            struct quad unit = quad_unit();
            int column, row;

            card_match_place(layout, patch, &column, &row);
            unit = quad_inset(&unit, rim);
            from[points.count] = point_add(unit.corner[i], (struct point){column, row});
            to[points.count] = pose->patch[patch].corner[i];
            weight[points.count++] = 1;
        }
    for (int round = 0; !status && round < FIT_ROUNDS; round++) {
        status = homography_fit(&points, map, error);
        for (size_t i = 0; !status && i < points.count; i++) {
            double off = point_distance(homography_apply(map, from[i]), to[i]) / OFF_SCALE_PX;

            weight[i] = 1 / (1 + off * off);
        }
    }
    return status;
}

/* Move the patches onto the edges seen, then place all by one map through their corners. */
static enum status refine_patches(const struct photo *photo, const struct card_layout *layout,
                                  struct homography map, struct card_pose *pose,
                                  struct error *error)
{
    enum status status = STATUS_OK;
    bool refined[CARD_PATCHES_MAX];
    int count = 0;
    double fraction = 0, unasked;

    for (int patch = 0; patch < layout->shape.patches; patch++) {
        refined[patch] = outline_refine(photo, &outline_shifted, &pose->patch[patch], &unasked);
        count += refined[patch];
    }
    if (count < layout->shape.patches / REFINED_PART)
        return STATUS_OK;
    for (int round = 0; !status && round < 2; round++) { /* the fraction depends on the map a bit */
        fraction = gather_outlines(layout, &map, pose, refined);
        status = fit_outlines(layout, pose, refined, fraction, &map, error);
    }
    if (!status)
        place_patches(&map, layout, fraction, pose);
    return status == STATUS_MEMORY ? status : STATUS_OK; /* no map fits: the first one serves */
}

/* The median patch's misfit: a few that are covered do not raise it. */
static double usual_misfit(const struct recognition *recognition, int patches)
{
    double off[CARD_PATCHES_MAX];

    memcpy(off, recognition->off, sizeof off);
    return statistics_median(off, (size_t)patches);
}

/* Whether the photo shows the middle of an outline, of which a patch can be read. */
static bool is_in_photo(const struct photo *photo, const struct quad *outline)
{
    struct quad inner = quad_inset(outline, PATCH_READ_INSET);

    for (int i = 0; i < 4; i++)
        if (inner.corner[i].x < 0 || inner.corner[i].x > photo->image.width_px - 1 ||
            inner.corner[i].y < 0 || inner.corner[i].y > photo->image.height_px - 1)
            return false;
    return true;
}

static enum status pose_from_match(const struct photo *photo, const struct card_match *match,
                                   double fraction, struct card_pose *pose, struct error *error)
{
    const struct recognition *recognition = &match->recognition;
    const int patches = match->layout.shape.patches;
    double usual = usual_misfit(recognition, patches);
    enum status status;

    place_patches(&match->window.map, &match->layout, fraction, pose);
    status = refine_patches(photo, &match->layout, match->window.map, pose, error);
    pose->found = true;
    pose->shape = match->layout.shape;
    pose->turns = turns_of(&pose->corners);
    pose->misfit = recognition->misfit;
    pose->next_best = match->next_best;
    for (int i = 0; i < patches; i++) {
        pose->outside[i] = !is_in_photo(photo, &pose->patch[i]);
        pose->hidden[i] = pose->outside[i] || (recognition->off[i] > HIDDEN_MISFIT &&
                                               recognition->off[i] > HIDDEN_RATIO * usual);
    }
    return status;
}

/* Of the patches that were seen. */
static double median_misfit(const struct card_match *match)
{
    double off[CARD_PATCHES_MAX];
    size_t count = 0;

    for (int i = 0; i < match->layout.shape.patches; i++)
        if (match->recognition.off[i] < RECOGNITION_NO_FIT)
            off[count++] = match->recognition.off[i];
    return statistics_median(off, count);
}

static enum status judge(const struct photo *photo, const struct card *card,
                         const struct card_match *match, struct error *error)
{
    if (!match->window.count)
        return error_set(error, STATUS_NOT_FOUND,
                         "%s: no reference card found: no %d x %d grid of patches is in the photo; "
                         "photograph the card whole, flat and sharp, or give its four corners "
                         "with --card-at",
                         photo->path, card->shape.rows, card->shape.columns);
    if (match->recognition.misfit > MISFIT_MAX || median_misfit(match) > MEDIAN_MISFIT_MAX)
        return error_set(
            error, STATUS_NOT_FOUND,
            "%s: no reference card found: the likeliest grid's colours miss the "
            "card's by delta E %.1f on average, half of them by %.1f (%.1f and %.1f at "
            "most are wanted); check that the whole card is in the photo and has not "
            "faded, or give its four corners with --card-at",
            photo->path, match->recognition.misfit, median_misfit(match), MISFIT_MAX,
            MEDIAN_MISFIT_MAX);
    if (match->next_best < MARGIN_MIN * match->recognition.misfit)
        return error_set(error, STATUS_NOT_FOUND,
                         "%s: the card can be read in two ways (delta E %.1f and %.1f); "
                         "photograph it in better light, or give its four corners with --card-at",
                         photo->path, match->recognition.misfit, match->next_best);
    if (match->layout.mirrored)
        return error_set(error, STATUS_NOT_FOUND,
                         "%s: the photo is mirrored: the card's patches run the wrong way round; "
                         "save it unmirrored and measure it again",
                         photo->path);
    return STATUS_OK;
}

/* A second card is only a check of the first, so it must fit beyond doubt. */
static bool is_second_card(const struct card_match *match)
{
    return match->window.count && !match->layout.mirrored &&
           match->recognition.misfit < SECOND_MISFIT_MAX &&
           match->next_best > MARGIN_MIN * match->recognition.misfit;
}

enum status card_pose_find(const struct photo *photo, const struct lattices *lattices,
                           const struct card *card, struct card_pose *pose,
                           struct card_pose *second, struct error *error)
{
    struct card_matches best = card_match_none();
    enum status status = STATUS_OK;

    for (size_t i = 0; !status && i < lattices->count; i++)
        status = card_match_lattice(photo, &lattices->items[i], card, false, &best, error);
    for (size_t i = 0;
         !status && best.first.recognition.misfit > SURE_MISFIT && i < lattices->count; i++)
        status = card_match_lattice(photo, &lattices->items[i], card, true, &best, error);
    if (!status)
        status = judge(photo, card, &best.first, error);
    if (!status)
        status =
            pose_from_match(photo, &best.first, patch_fraction(&best.first.window), pose, error);
    if (!status && is_second_card(&best.second))
        status = pose_from_match(photo, &best.second, patch_fraction(&best.second.window), second,
                                 error);
    return status;
}

/* The map of a card's lattice whose outer patch corners are given, for patches of a usual size. */
static enum status map_from_corners(const struct card_shape *shape, const struct quad *corners,
                                    struct homography *map, struct error *error)
{
    double rim = (1 - PATCH_FRACTION_DEFAULT) / 2;
    struct point from[4] = {{rim, rim},
                            {shape->columns - rim, rim},
                            {shape->columns - rim, shape->rows - rim},
                            {rim, shape->rows - rim}};
    struct homography_points points = {from, corners->corner, NULL, 4, 0};

    return homography_fit(&points, map, error);
}

enum status card_pose_from_corners(const struct photo *photo, const struct quad *corners,
                                   const struct card *card, struct card_pose *pose,
                                   struct error *error)
{
    struct card_matches best = card_match_none();
    enum status status = STATUS_OK;

    for (int i = 0; !status && i < 2 * CARD_TURNS; i++) {
        struct card_match match = {.layout = {.shape = card->shape, .mirrored = i % 2},
                                   .window = {.count = (size_t)card->shape.patches}};
        struct quad turned;

        for (int j = 0; j < 4; j++)
            turned.corner[j] = corners->corner[(j + i / 2) % 4];
        status = map_from_corners(&card->shape, &turned, &match.window.map, error);
        if (!status)
            card_match_consider(photo, card, &match, &best);
    }
    if (!status)
        status = judge(photo, card, &best.first, error);
    if (!status)
        status = pose_from_match(photo, &best.first, PATCH_FRACTION_DEFAULT, pose, error);
    pose->given = !status;
    return status;
}
