#include "cell_contents.h"

#include "rim.h"
#include "vision/sampling.h"

#include <math.h>

#define U95_MAX 20.0      /* delta E 2000: a colour as little sure as this is none */
#define EMPTY_U95_MAX 8.0 /* and what is paper as little sure as this may be pale ink */
/* A cell this near its paper looks empty; the less sure the photo, the further. Shadow and
 * glare move lightness, so it counts for less, and least where the cell is lighter than paper. */
#define EMPTY_DISTANCE 1.5
#define EMPTY_SURELY 2.0 /* where no gap shows the rim, what is further off may be pale ink */
#define EMPTY_PER_U95 0.3
#define EMPTY_DISTANCE_MAX 2.7
#define DARKER_SHARE 0.5
#define LIGHTER_SHARE 0.2
/* What looks like pale ink, up to these distances, has to show a step at its rim, else it is paper
 * in other light than was thought, or can't be told. Logarithms of light: the palest inks step by
 * 0.15 and more, less where their gaps are narrow; paper by 0.03. */
#define PALE_DISTANCE 15.0
#define PALEST_DISTANCE 8.0
#define FLAT_STEP 0.035
#define SURELY_UNLIKE 1.2 /* of u95: a rim that seems flat has a line or a label in it */
#define UNCLEAR_STEP 0.07
#define UNSEEN_SHARE 0.56 /* of that distance, where no clean gap shows the rim */
#define LIGHTEST 110.0    /* L* of no ink, even one that glows: the light there is not known */
/* A cell cut off at the bright end and lighter than its paper by this much lies under a mirror's
 * shine, which leaves nothing of ink to see: paper beside it is read within 1.5. */
#define SHINE_LIGHTER 3.0 /* L* */
/* Where a cell may be no cell at all: from its middle to its rim and over it, as a gap of a sixth
 * of the pitch lies; steps of a desk's grain stay below this, those of all but the palest inks
 * above. */
#define SIDE_INSIDE 0.7
#define SIDE_OUTSIDE 1.19
#define SIDE_STEP 0.18
#define SIDES_MIN 3
#define GAP_SOILED 0.05 /* the rim this much lighter than its gap: ink or a label lies in that */

/* How far a cell is from its paper, for telling whether it is empty. */
static double distance_from(struct lab paper, struct lab lab)
{
    double lighter = lab.L - paper.L;

    return hypot(hypot(lab.a - paper.a, lab.b - paper.b),
                 lighter * (lighter > 0 ? LIGHTER_SHARE : DARKER_SHARE));
}

/* Whether a cell that looks like pale ink shows the rim of ink; `unlike` is how far it is from its
 * paper in parts of its u95. */
static enum cell_found look_at_rim(const struct rim *rim, double distance, double unlike)
{
    double darkest = fmin(fmin(rim->step[0], rim->step[1]), rim->step[2]);
    double lightest = fmax(fmax(rim->step[0], rim->step[1]), rim->step[2]);
    bool clean = rim->pairs > 0 && lightest < GAP_SOILED;

    if (clean && darkest > -FLAT_STEP)
        return unlike < SURELY_UNLIKE ? CELL_EMPTY : CELL_UNREADABLE;
    if (distance < PALEST_DISTANCE && clean && darkest > -UNCLEAR_STEP)
        return CELL_UNREADABLE;
    if (distance < PALEST_DISTANCE * UNSEEN_SHARE && !clean && darkest > -UNCLEAR_STEP)
        return CELL_UNREADABLE;
    return unlike < 1 && !clean ? CELL_UNREADABLE : CELL_INK;
}

static bool lies_under_shine(const struct reading *reading, struct lab paper)
{
    return reading->flags & FLAG_CLIPPED &&
           (reading->flags & FLAG_GLARE || reading->lab.L > paper.L + SHINE_LIGHTER);
}

static enum cell_found what_is_in(const struct scene *scene, const struct chart_pose *chart,
                                  const struct reading *reading)
{
    struct lab paper = scene_lab(scene, scene->paper_colour);
    double distance = distance_from(paper, reading->lab);
    int cell = (reading->row - 1) * chart->columns + reading->column - 1;
    struct rim rim;

    if (reading->lab.L > LIGHTEST)
        return CELL_UNREADABLE;
    if (distance > PALE_DISTANCE)
        return CELL_INK;
    if (lies_under_shine(reading, paper))
        return CELL_UNREADABLE;
    rim_look(&scene->photo, chart, cell, &rim);
    if (distance < fmin(EMPTY_DISTANCE + EMPTY_PER_U95 * reading->u95, EMPTY_DISTANCE_MAX))
        return distance < EMPTY_SURELY || rim.pairs ? CELL_EMPTY : CELL_UNREADABLE;
    return look_at_rim(&rim, distance, colour_delta_e_2000(paper, reading->lab) / reading->u95);
}

/* A cell whose colour is too unsure to be one has none, and may not be empty either. */
enum cell_found cell_contents(const struct scene *scene, const struct chart_pose *chart,
                              const struct reading *reading)
{
    enum cell_found found = what_is_in(scene, chart, reading);
    double most = found == CELL_EMPTY ? EMPTY_U95_MAX : U95_MAX;

    return reading->u95 > most ? CELL_UNREADABLE : found;
}

/* Whether one side of a cell shows no step: well inside it and in the middle of the usual gap. */
static bool side_goes_on(const struct scene *scene, const struct quad *cell, int side)
{
    struct point centre = quad_centre(cell);
    struct point rim = point_between(cell->corner[side], cell->corner[(side + 1) % 4], 0.5);
    struct rgb inside, outside;

    if (!sampling_glance(&scene->photo, point_between(centre, rim, SIDE_INSIDE), 2, &inside) ||
        !sampling_glance(&scene->photo, point_between(centre, rim, SIDE_OUTSIDE), 2, &outside))
        return true;
    for (int k = 0; k < 3; k++)
        if (fabs(log(fmax(inside.channel[k], 1e-3) / fmax(outside.channel[k], 1e-3))) > SIDE_STEP)
            return false;
    return true;
}

bool cell_contents_goes_on(const struct scene *scene, const struct quad *cell)
{
    int sides = 0;

    for (int side = 0; side < 4; side++)
        sides += side_goes_on(scene, cell, side);
    return sides >= SIDES_MIN;
}
