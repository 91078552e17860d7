#ifndef SCENE_PLAN_H
#define SCENE_PLAN_H

#include <stdint.h>

/*
 * Everything that makes one photo, as plain numbers: drawn at random for a
 * grade, then perhaps changed by options, then rendered.
 */

enum grade { GRADE_EVEN, GRADE_ORDINARY, GRADE_HARD };
enum treatment { TREATMENT_PLAIN, TREATMENT_LOOK, TREATMENT_PHONE };
enum card_place { CARD_LEFT, CARD_RIGHT, CARD_ABOVE, CARD_BELOW, CARD_ON };
enum outline { OUTLINE_NONE, OUTLINE_PRINTED, OUTLINE_PENCIL };
enum palette { PALETTE_ALL, PALETTE_ORDER, PALETTE_PALE, PALETTE_DARK, PALETTE_GREYS };
enum shape { SHAPE_STAMPED, SHAPE_DISC, SHAPE_BRUSHED };
enum labels { LABELS_NONE, LABELS_UNDER, LABELS_BESIDE, LABELS_INSIDE };
enum card_print { CARD_GOOD, CARD_FADED, CARD_GLOSSY };
enum lamp { LAMP_DAYLIGHT, LAMP_INCANDESCENT, LAMP_TRIBAND, LAMP_LED };
enum format { FORMAT_JPEG, FORMAT_PNG8, FORMAT_PNG16, FORMAT_DNG, FORMAT_DNG_LINEAR };
enum profile { PROFILE_NONE, PROFILE_SRGB, PROFILE_P3, PROFILE_P3_UNSAID };
enum desk { DESK_OAK, DESK_WALNUT, DESK_LAMINATE, DESK_MAT, DESK_WHITE, DESK_CLOTH, DESKS };

struct plan {
    int seed;       /* of the photo; noise, light, desk */
    int sheet_seed; /* of the sheet: one sheet can be in several photos */
    int grade;
    int item; /* of the location set; 0: none, and the truth is shorter */

    int charts, rows, columns;
    double cell_width_mm, cell_height_mm, gap_x_mm, gap_y_mm;
    int outline, labels, title, paper, palette;
    double blank_part;
    int shape;
    int hatched;       /* columns, from the right, filled by strokes of a pen instead */
    int missing;       /* cells at the end of the last row that are blank */
    double untrue_mm;  /* how far the grid's lines, drawn by hand, are out of true */
    int group_columns; /* a wider gap after every so many; 0: none */
    int group_rows;
    double group_gap_mm;       /* so much wider */
    double sheet_turn_degrees; /* against the desk */
    double wet; /* 1: just stamped, but for every fourth cell, which is long dry; 0: all dry */
    int batch, repeats; /* 0: the first pad of each ink; cells in a row with the same ink */
    double mottle, softness_mm, irregularity_mm;
    int marks; /* pen strokes and blots */
    double curl_mm;
    int curl_both; /* the opposite side lifts too */

    int cards, edition, card_place, covered;
    double card_pitch_mm, card_turn_degrees;
    double card_share; /* its width in widths of the photo, whatever its pitch; 0: by the pitch */
    int card_print;
    double card_wear; /* how faded or how badly printed, 0 to 1 */
    double card_dim;  /* part of its light that the card alone lacks; negative: so much more */
    int slip_row;     /* the row, from 1, of what covers it; 0: any */
    double card_veil, sheet_veil; /* part of a perfect white laid over them, as plastic does */

    int desk, clutter;
    int pads; /* the clutter is all ink pads and strips of colour */

    int width_px, height_px;
    double turn_degrees, tilt_degrees, azimuth_degrees, focal_widths, distortion, fill;

    int lamp, second_lamp;
    double kelvin, second_share;
    double falloff, bow, vignetting;
    double shadow;
    int glares;
    int card_glares, cell_glares; /* on the middles of patches and of cells */
    double flare;

    int camera;
    double stops; /* exposed so much more than `exposure` says */
    double exposure, balance_error, tone, saturation;
    double blur_px, noise, denoise_px, sharpening;
    double motion_px, motion_degrees, defocus_px;

    int look;           /* 1 to LOOKS; 0: none, and `tone` and `saturation` count */
    double look_part;   /* how much of it is given; 0: all */
    double local_tone;  /* the power of its surroundings' light that a place is divided by */
    double local_reach; /* of those surroundings, in widths of the photo's long side */
    double local_edge;  /* steps well above it part surroundings; of the logarithm of light */
    double smear;       /* of noise reduction: steps well below it are smoothed; of full scale */
    double halo_px;     /* how far sharpening reaches; 0: as lenses blur */

    int format, quality, subsampling, orientation, mirrored, profile, dated;
};

/** Draw the `number`-th photo of a grade; the same one each time. */
struct plan plan_draw(enum grade grade, int number);

/**
 * Give the plan a camera, a look and what goes with it; phones map tones locally, too.
 *
 * Shape:   odd numbers get one of the known cameras and looks, even ones of
 *          those held out, on which nothing is to be tuned.
 */
void plan_treat(struct plan *plan, enum treatment treatment, int number);

const char *grade_label(int grade);

/** "", "look" or "phone". */
const char *treatment_label(int treatment);

#endif
