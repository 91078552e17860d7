#include "stage.h"

#include "basics.h"

#include <math.h>

#include <gsl/gsl_math.h>
#include <gsl/gsl_randist.h>

/* Half the size that a turned card takes across and down. */
static struct point turned_half(double half_width, double half_height, double degrees)
{
    double c = fabs(cos(degrees * M_PI / 180.0)), s = fabs(sin(degrees * M_PI / 180.0));

    return (struct point){c * half_width + s * half_height, s * half_width + c * half_height};
}

static struct point card_centre(const struct stage *stage, gsl_rng *rng)
{
    const struct plan *plan = &stage->plan;
    const struct sheet *sheet = &stage->sheet[0];
    struct point reach =
        turned_half(sheet->width_mm / 2.0, sheet->height_mm / 2.0, plan->sheet_turn_degrees);
    struct point half =
        turned_half(card_width_mm((enum edition)plan->edition, plan->card_pitch_mm) / 2.0,
                    card_height_mm((enum edition)plan->edition, plan->card_pitch_mm) / 2.0,
                    plan->card_turn_degrees);
    double gap = gsl_ran_flat(rng, 5.0, 22.0), slide = gsl_ran_flat(rng, -0.8, 0.8);
    double x = reach.x, y = reach.y;
    double beside_x = slide * fmax(0.0, x - half.x), beside_y = slide * fmax(0.0, y - half.y);

    switch (plan->card_place) {
    case CARD_LEFT:
        return (struct point){-x - gap - half.x, beside_y};
    case CARD_RIGHT:
        return (struct point){x + gap + half.x, beside_y};
    case CARD_ABOVE:
        return (struct point){beside_x, -y - gap - half.y};
    case CARD_BELOW:
        return (struct point){beside_x, y + gap + half.y};
    default:
        return plate_desk(&sheet->plate, (struct point){sheet->room.x - sheet->width_mm / 2.0,
                                                        sheet->room.y - sheet->height_mm / 2.0});
    }
}

/* Beside or below the first, whichever the card leaves free, no nearer to it, a little askew. */
static void place_second_sheet(struct stage *stage)
{
    const struct plan *plan = &stage->plan;
    const struct sheet *first = &stage->sheet[0];
    struct sheet *second = &stage->sheet[1];
    double degrees = plan->sheet_turn_degrees + 5.0 * sin(plan->sheet_seed);
    struct point reach =
        turned_half(first->width_mm / 2.0, first->height_mm / 2.0, plan->sheet_turn_degrees);
    struct point half = turned_half(second->width_mm / 2.0, second->height_mm / 2.0, degrees);
    int beside = plan->card_place == CARD_ABOVE || plan->card_place == CARD_BELOW;
    double away_x = plan->card_place == CARD_RIGHT ? reach.x - half.x : half.x - reach.x;
    double away_y = plan->card_place == CARD_BELOW ? reach.y - half.y : half.y - reach.y;
    struct point centre = {beside ? reach.x + half.x + 15.0 : away_x,
                           beside ? away_y : reach.y + half.y + 15.0};

    second->plate = plate_make(centre, degrees, second->width_mm, second->height_mm, 0.1);
}

/* A slip of paper over patches that lie together: in one row up to 6 of them, else in two. */
static void cover_card(struct card *card, int covered, gsl_rng *rng)
{
    int columns;

    card->slip_rows = covered > card->grid.columns ? 2 : 1;
    columns = covered / card->slip_rows;
    card->covered = columns * card->slip_rows;
    card->slip_row =
        (int)gsl_rng_uniform_int(rng, (unsigned long)(card->grid.rows - card->slip_rows + 1));
    card->slip_column =
        (int)gsl_rng_uniform_int(rng, (unsigned long)(card->grid.columns - columns + 1));
}

/* A card that lies on the sheet turns with it. */
static double card_turn(const struct plan *plan)
{
    return plan->card_turn_degrees + (plan->card_place == CARD_ON ? plan->sheet_turn_degrees : 0.0);
}

static void place_things(struct stage *stage, gsl_rng *rng)
{
    const struct plan *plan = &stage->plan;
    struct point centre = {0.0, 0.0};

    stage->sheet[0].plate = plate_make((struct point){0.0, 0.0}, plan->sheet_turn_degrees,
                                       stage->sheet[0].width_mm, stage->sheet[0].height_mm, 0.1);
    if (stage->sheets > 1)
        place_second_sheet(stage);
    if (stage->sheets)
        centre = card_centre(stage, rng);
    for (int i = 0; i < stage->cards; i++) {
        stage->card[i] =
            card_make((enum edition)plan->edition, plan->card_pitch_mm, centre, card_turn(plan));
        stage->card[i].print = plan->card_print;
        stage->card[i].wear = plan->card_wear;
        stage->card[i].dim = plan->card_dim;
        stage->card[i].veil = plan->card_veil;
        cover_card(&stage->card[i], plan->covered, rng);
        if (plan->slip_row)
            stage->card[i].slip_row = plan->slip_row - 1;
        centre = stage->sheets ? (struct point){-1.05 * centre.x, -1.05 * centre.y}
                               : (struct point){0.0, 1.2 * 2.0 * stage->card[i].plate.half_width};
    }
}

static int add_corners(struct point corners[], int count, const struct plate *plate)
{
    for (int i = 0; i < 4; i++)
        corners[count++] =
            plate_desk(plate, (struct point){(i & 1 ? 1.0 : -1.0) * plate->half_width,
                                             (i & 2 ? 1.0 : -1.0) * plate->half_height});
    return count;
}

int stage_corners(const struct stage *stage, struct point corners[STAGE_CORNERS_MAX])
{
    int count = 0;

    for (int i = 0; i < stage->sheets || (i == 0 && !stage->cards); i++)
        count = add_corners(corners, count, &stage->sheet[i].plate);
    for (int i = 0; i < stage->cards; i++)
        count = add_corners(corners, count, &stage->card[i].plate);
    return count;
}

/* Hold the camera, upright or on its side as suits the things. */
static void hold_camera(struct stage *stage)
{
    struct plan *plan = &stage->plan;
    struct point corners[STAGE_CORNERS_MAX], low = {1e9, 1e9}, high = {-1e9, -1e9};
    struct stance stance = {plan->tilt_degrees, plan->azimuth_degrees, plan->turn_degrees,
                            plan->focal_widths, plan->distortion,      plan->fill};
    int count = stage_corners(stage, corners),
        sideways = lround(plan->turn_degrees / 90.0) % 2 != 0;

    for (int i = 0; i < count; i++) {
        low = (struct point){fmin(low.x, corners[i].x), fmin(low.y, corners[i].y)};
        high = (struct point){fmax(high.x, corners[i].x), fmax(high.y, corners[i].y)};
    }
    if ((high.x - low.x > high.y - low.y) != ((plan->width_px > plan->height_px) != sideways)) {
        int width_px = plan->width_px;

        plan->width_px = plan->height_px;
        plan->height_px = width_px;
    }
    stage->view = view_fit(&stance, plan->width_px, plan->height_px, corners, count);
    stage->light.centre = (struct point){(low.x + high.x) / 2.0, (low.y + high.y) / 2.0};
    stage->light.reach_mm = hypot(high.x - low.x, high.y - low.y) / 2.0;
}

/* The card's width in the photo, in widths of the photo. */
static double card_share(const struct stage *stage)
{
    const struct plate *plate = &stage->card[0].plate;
    struct point left =
        view_project(&stage->view, plate_desk(plate, (struct point){-plate->half_width, 0.0}), 1.0);
    struct point right =
        view_project(&stage->view, plate_desk(plate, (struct point){plate->half_width, 0.0}), 1.0);

    return hypot(right.x - left.x, right.y - left.y) / stage->view.width_px;
}

/* Try sizes of the card until it takes its share of the photo. */
static void size_card(struct stage *stage, const gsl_rng *rng)
{
    enum { ROUNDS = 30 };

    for (int round = 0; round < ROUNDS && stage->plan.card_share > 0.0; round++) {
        gsl_rng *trial = gsl_rng_clone(rng);

        place_things(stage, trial);
        hold_camera(stage);
        stage->plan.card_pitch_mm *=
            clamp(sqrt(stage->plan.card_share / card_share(stage)), 0.7, 1.4);
        gsl_rng_free(trial);
    }
}

void stage_place(struct stage *stage, gsl_rng *rng)
{
    size_card(stage, rng);
    place_things(stage, rng);
    hold_camera(stage);
}
