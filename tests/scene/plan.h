#ifndef SCENE_PLAN_H
#define SCENE_PLAN_H

#include <stdint.h>

/*
 * Everything that makes one photo, as plain numbers: drawn at random for a
 * grade, then perhaps changed by options, then rendered.
 */

enum grade { GRADE_EVEN, GRADE_ORDINARY, GRADE_HARD };
enum card_place { CARD_LEFT, CARD_RIGHT, CARD_ABOVE, CARD_BELOW, CARD_ON };
enum outline { OUTLINE_NONE, OUTLINE_PRINTED, OUTLINE_PENCIL };
enum palette { PALETTE_ALL, PALETTE_ORDER, PALETTE_PALE };
enum lamp { LAMP_DAYLIGHT, LAMP_INCANDESCENT, LAMP_TRIBAND, LAMP_LED };
enum format { FORMAT_JPEG, FORMAT_PNG8, FORMAT_PNG16 };
enum profile { PROFILE_NONE, PROFILE_SRGB, PROFILE_P3 };
enum desk { DESK_OAK, DESK_WALNUT, DESK_LAMINATE, DESK_MAT, DESK_WHITE, DESK_CLOTH, DESKS };

struct plan {
    int seed;       /* of the photo; noise, light, desk */
    int sheet_seed; /* of the sheet: one sheet can be in several photos */
    int grade;

    int charts, rows, columns;
    double cell_width_mm, cell_height_mm, gap_x_mm, gap_y_mm;
    int outline, labels, title, paper, palette;
    double blank_part;
    double wet; /* 1: just stamped, but for every fourth cell, which is long dry; 0: all dry */
    int batch, repeats; /* 0: the first pad of each ink; cells in a row with the same ink */
    double mottle, softness_mm, irregularity_mm;
    int marks; /* pen strokes and blots */
    double curl_mm;

    int cards, edition, card_place, covered;
    double card_pitch_mm, card_turn_degrees;

    int desk, clutter;

    int width_px, height_px;
    double turn_degrees, tilt_degrees, azimuth_degrees, focal_widths, distortion, fill;

    int lamp, second_lamp;
    double kelvin, second_share;
    double falloff, bow, vignetting;
    double shadow;
    int glares;
    double flare;

    int camera;
    double exposure, balance_error, tone, saturation;
    double blur_px, noise, denoise_px, sharpening;

    int format, quality, subsampling, orientation, mirrored, profile, dated;
};

/** Draw the `number`-th photo of a grade; the same one each time. */
struct plan plan_draw(enum grade grade, int number);

const char *grade_label(int grade);

#endif
