#include "options.h"

#include "basics.h"
#include "location.h"
#include "look.h"

#include <stddef.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum kind { WHOLE, NUMBER, WORD };

/* An option sets one field of the plan; words stand for 0, 1, 2, ... in order. */
static const struct option {
    const char *name;
    enum kind kind;
    size_t offset;
    const char *help; /* or the words, parted by | */
} options[] = {
    {"--seed", WHOLE, offsetof(struct plan, seed),
     "of light, desk and noise; the plan and the sheet stay"},
    {"--sheet-seed", WHOLE, offsetof(struct plan, sheet_seed), "of inks, stamps and marks"},
    {"--charts", WHOLE, offsetof(struct plan, charts), "0, 1 or 2"},
    {"--rows", WHOLE, offsetof(struct plan, rows), "of cells, up to 12"},
    {"--columns", WHOLE, offsetof(struct plan, columns), "of cells, up to 12"},
    {"--cell-width", NUMBER, offsetof(struct plan, cell_width_mm), "mm"},
    {"--cell-height", NUMBER, offsetof(struct plan, cell_height_mm), "mm"},
    {"--gap-x", NUMBER, offsetof(struct plan, gap_x_mm), "mm between columns"},
    {"--gap-y", NUMBER, offsetof(struct plan, gap_y_mm), "mm between rows"},
    {"--outline", WORD, offsetof(struct plan, outline), "none|printed|pencil"},
    {"--labels", WHOLE, offsetof(struct plan, labels),
     "ink names: 0 none, 1 under, 2 beside, 3 inside the cells"},
    {"--title", WHOLE, offsetof(struct plan, title), "0 or 1"},
    {"--paper", WORD, offsetof(struct plan, paper), "white|cream|grey"},
    {"--palette", WORD, offsetof(struct plan, palette), "all|order|pale|dark|greys"},
    {"--blank", NUMBER, offsetof(struct plan, blank_part), "part of the cells left blank"},
    {"--shape", WORD, offsetof(struct plan, shape), "stamped|disc|brushed"},
    {"--hatched", WHOLE, offsetof(struct plan, hatched),
     "columns, from the right, that are hatched with a pen"},
    {"--missing", WHOLE, offsetof(struct plan, missing), "blank cells that end the last row"},
    {"--untrue", NUMBER, offsetof(struct plan, untrue_mm), "mm that the grid's lines are off"},
    {"--group-columns", WHOLE, offsetof(struct plan, group_columns), "columns between wider gaps"},
    {"--group-rows", WHOLE, offsetof(struct plan, group_rows), "rows between wider gaps"},
    {"--group-gap", NUMBER, offsetof(struct plan, group_gap_mm), "mm that those are wider"},
    {"--sheet-turn", NUMBER, offsetof(struct plan, sheet_turn_degrees), "degrees, of the sheet"},
    {"--wet", NUMBER, offsetof(struct plan, wet), "0 to 1, of all but every fourth cell"},
    {"--batch", WHOLE, offsetof(struct plan, batch), "other than 0: new pads, every third changed"},
    {"--repeats", WHOLE, offsetof(struct plan, repeats),
     "cells in a row with one ink; the later half of them of the new pad"},
    {"--mottle", NUMBER, offsetof(struct plan, mottle), "unevenness of ink, 0 to 0.3"},
    {"--softness", NUMBER, offsetof(struct plan, softness_mm), "mm of soft edge"},
    {"--irregularity", NUMBER, offsetof(struct plan, irregularity_mm), "mm, of the stamps"},
    {"--marks", WHOLE, offsetof(struct plan, marks), "pen strokes and blots"},
    {"--curl", NUMBER, offsetof(struct plan, curl_mm), "mm that one side lifts"},
    {"--curl-both", WHOLE, offsetof(struct plan, curl_both), "1: the opposite side lifts too"},
    {"--cards", WHOLE, offsetof(struct plan, cards), "0, 1 or 2"},
    {"--edition", WORD, offsetof(struct plan, edition), "2005|2014-11|invented"},
    {"--card-place", WORD, offsetof(struct plan, card_place), "left|right|above|below|on"},
    {"--covered", WHOLE, offsetof(struct plan, covered), "patches under a slip: 0 to 6, or 8"},
    {"--card-pitch", NUMBER, offsetof(struct plan, card_pitch_mm), "mm from patch to patch"},
    {"--card-share", NUMBER, offsetof(struct plan, card_share), "its width over the photo's"},
    {"--card-print", WORD, offsetof(struct plan, card_print), "good|faded|glossy"},
    {"--card-wear", NUMBER, offsetof(struct plan, card_wear), "0 to 1, if not good"},
    {"--card-dim", NUMBER, offsetof(struct plan, card_dim),
     "part of its light that the card alone lacks; negative: more"},
    {"--card-veil", NUMBER, offsetof(struct plan, card_veil), "part of white laid over the card"},
    {"--sheet-veil", NUMBER, offsetof(struct plan, sheet_veil), "the same over the sheet"},
    {"--slip-row", WHOLE, offsetof(struct plan, slip_row), "1 to 4, of what is covered; 0: any"},
    {"--card-turn", NUMBER, offsetof(struct plan, card_turn_degrees), "degrees"},
    {"--desk", WORD, offsetof(struct plan, desk), "oak|walnut|laminate|mat|white|cloth"},
    {"--clutter", WHOLE, offsetof(struct plan, clutter), "things on the desk, up to 24"},
    {"--pads", WHOLE, offsetof(struct plan, pads), "1: they are ink pads and colour strips"},
    {"--width", WHOLE, offsetof(struct plan, width_px), "pixels; swapped with the height"},
    {"--height", WHOLE, offsetof(struct plan, height_px), "pixels; to suit the things"},
    {"--turn", NUMBER, offsetof(struct plan, turn_degrees), "degrees, of everything"},
    {"--tilt", NUMBER, offsetof(struct plan, tilt_degrees), "degrees from straight down"},
    {"--azimuth", NUMBER, offsetof(struct plan, azimuth_degrees), "degrees, side of the tilt"},
    {"--focal", NUMBER, offsetof(struct plan, focal_widths), "focal length over long side"},
    {"--distortion", NUMBER, offsetof(struct plan, distortion), "at the corner, as a fraction"},
    {"--fill", NUMBER, offsetof(struct plan, fill), "part of the photo that sheet and card take"},
    {"--lamp", WORD, offsetof(struct plan, lamp), "daylight|incandescent|triband|led"},
    {"--second-lamp", WORD, offsetof(struct plan, second_lamp),
     "daylight|incandescent|triband|led"},
    {"--kelvin", NUMBER, offsetof(struct plan, kelvin), "of the daylight, 4000 to 25000"},
    {"--mix", NUMBER, offsetof(struct plan, second_share), "share of the second lamp"},
    {"--falloff", NUMBER, offsetof(struct plan, falloff), "darker end below the brighter, 0 to 1"},
    {"--bow", NUMBER, offsetof(struct plan, bow), "quadratic fall-off"},
    {"--vignetting", NUMBER, offsetof(struct plan, vignetting), "fall-off at the corners"},
    {"--shadow", NUMBER, offsetof(struct plan, shadow), "depth of a shadow, 0 to 1"},
    {"--glares", WHOLE, offsetof(struct plan, glares), "bright spots on the sheet, up to 6"},
    {"--card-glares", WHOLE, offsetof(struct plan, card_glares), "on patches, up to 3"},
    {"--cell-glares", WHOLE, offsetof(struct plan, cell_glares), "on cells, up to 4"},
    {"--flare", NUMBER, offsetof(struct plan, flare), "part of the mean light, everywhere"},
    {"--camera", WHOLE, offsetof(struct plan, camera), "0 to 7"},
    {"--exposure", NUMBER, offsetof(struct plan, exposure), "of a perfect white; 1 clips"},
    {"--stops", NUMBER, offsetof(struct plan, stops), "EV exposed more than that"},
    {"--balance-error", NUMBER, offsetof(struct plan, balance_error), "of red and blue"},
    {"--tone", NUMBER, offsetof(struct plan, tone), "strength of the S-curve, 0 to 1"},
    {"--saturation", NUMBER, offsetof(struct plan, saturation), "1 leaves it"},
    {"--blur", NUMBER, offsetof(struct plan, blur_px), "pixels, of the lens"},
    {"--motion", NUMBER, offsetof(struct plan, motion_px), "pixels that the camera moves"},
    {"--motion-way", NUMBER, offsetof(struct plan, motion_degrees), "degrees, of that"},
    {"--defocus", NUMBER, offsetof(struct plan, defocus_px), "pixels, radius of a point's disc"},
    {"--noise", NUMBER, offsetof(struct plan, noise), "of a full pixel"},
    {"--denoise", NUMBER, offsetof(struct plan, denoise_px), "pixels of smoothing"},
    {"--sharpening", NUMBER, offsetof(struct plan, sharpening), "0 to 1"},
    {"--look", WHOLE, offsetof(struct plan, look), "1 to 24, in place of tone and saturation"},
    {"--look-part", NUMBER, offsetof(struct plan, look_part), "of it that is given; 0: all"},
    {"--local-tone", NUMBER, offsetof(struct plan, local_tone),
     "power by which dark surroundings are lifted, 0 to 0.5"},
    {"--local-reach", NUMBER, offsetof(struct plan, local_reach), "of those, in long sides"},
    {"--local-edge", NUMBER, offsetof(struct plan, local_edge),
     "what parts them, of the logarithm of light"},
    {"--smear", NUMBER, offsetof(struct plan, smear),
     "steps that noise reduction smears, 0 to 0.1"},
    {"--halo", NUMBER, offsetof(struct plan, halo_px), "pixels that sharpening reaches"},
    {"--format", WORD, offsetof(struct plan, format), "jpeg|png8|png16|dng|dng-linear"},
    {"--quality", WHOLE, offsetof(struct plan, quality), "of JPEG"},
    {"--subsampling", WHOLE, offsetof(struct plan, subsampling), "444, 422 or 420"},
    {"--orientation", WHOLE, offsetof(struct plan, orientation), "EXIF: 1, 3, 6 or 8"},
    {"--mirrored", WHOLE, offsetof(struct plan, mirrored), "0 or 1"},
    {"--profile", WORD, offsetof(struct plan, profile), "none|srgb|p3|p3-unsaid"},
    {"--dated", WHOLE, offsetof(struct plan, dated), "0 or 1: EXIF has the time"},
};

enum { OPTIONS = sizeof options / sizeof *options };

/* The place of a word in "none|printed|pencil". */
static int word_number(const char *words, const char *word)
{
    size_t length = strlen(word);

    for (int number = 0; words; number++) {
        if (!strncmp(words, word, length) && (words[length] == '|' || !words[length]))
            return number;
        words = strchr(words, '|');
        words = words ? words + 1 : NULL;
    }
    return -1;
}

int option_grade(const char *word)
{
    int grade = word_number("even|ordinary|hard", word);

    if (grade < 0)
        fail("there is no grade '%s'; even, ordinary and hard there are", word);
    return grade;
}

int option_treatment(const char *word)
{
    int treatment = word_number("plain|look|phone", word);

    if (treatment < 0)
        fail("there is no treatment '%s'; plain, look and phone there are", word);
    return treatment;
}

static void set(struct plan *plan, const struct option *option, const char *value)
{
    char *field = (char *)plan + option->offset, *end;
    double number = option->kind == WORD ? word_number(option->help, value) : strtod(value, &end);
    int whole = (int)number;

    if (option->kind == WORD ? number < 0.0 : end == value || *end)
        fail("%s can't be '%s': %s", option->name, value, option->help);
    if (option->kind == NUMBER)
        memcpy(field, &number, sizeof number);
    else
        memcpy(field, &whole, sizeof whole);
}

static const struct option *find(const char *name)
{
    for (int i = 0; i < OPTIONS; i++)
        if (!strcmp(options[i].name, name))
            return &options[i];
    fail("there is no option %s", name);
}

static void check(const struct plan *plan)
{
    if (plan->look < 0 || plan->look > LOOKS)
        fail("there are looks 1 to %d", LOOKS);
    if (plan->rows < 1 || plan->rows > 12 || plan->columns < 1 || plan->columns > 12)
        fail("a chart has 1 to 12 rows and columns");
    if (plan->width_px < 16 || plan->height_px < 16 || plan->width_px > 12000 ||
        plan->height_px > 12000)
        fail("a photo is 16 to 12000 pixels wide and high");
}

/* What a plan is drawn for, before options change it. */
struct drawing {
    int grade, number, item, treatment;
};

/* 1 if the option says what to draw. */
static int draws(struct drawing *drawing, const char *name, const char *value)
{
    if (!strcmp(name, "--grade"))
        drawing->grade = option_grade(value);
    else if (!strcmp(name, "--number"))
        drawing->number = atoi(value);
    else if (!strcmp(name, "--item"))
        drawing->item = item_number(value);
    else if (!strcmp(name, "--treatment"))
        drawing->treatment = option_treatment(value);
    else
        return 0;
    return 1;
}

struct plan options_plan(int argc, char **argv)
{
    struct drawing drawing = {GRADE_EVEN, 1, 0, TREATMENT_PLAIN};
    struct plan plan;

    if (argc % 2)
        fail("%s has no value", argv[argc - 1]);
    for (int i = 0; i < argc; i += 2)
        draws(&drawing, argv[i], argv[i + 1]);
    plan = drawing.item ? location_draw((enum grade)drawing.grade, drawing.number, drawing.item)
                        : plan_draw((enum grade)drawing.grade, drawing.number);
    plan_treat(&plan, (enum treatment)drawing.treatment, drawing.number);
    for (int i = 0; i < argc; i += 2)
        if (!draws(&drawing, argv[i], argv[i + 1]))
            set(&plan, find(argv[i]), argv[i + 1]);
    check(&plan);
    return plan;
}

void options_print(void)
{
    printf("  %-16s %s\n", "--grade", "even|ordinary|hard: what the plan is drawn for");
    printf("  %-16s %s\n", "--number", "which of that grade's plans");
    printf("  %-16s %s\n", "--treatment", "plain|look|phone: a look, and local tone mapping");
    printf("  %-16s %s\n", "--item", "a photo of the location set, for that grade and number:");
    for (int item = 1; item <= items_count(); item++)
        printf("  %-16s %s\n", "", item_label(item));
    for (int i = 0; i < OPTIONS; i++)
        printf("  %-16s %s\n", options[i].name, options[i].help);
}
