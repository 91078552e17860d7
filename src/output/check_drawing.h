#ifndef WOAD_OUTPUT_CHECK_DRAWING_H
#define WOAD_OUTPUT_CHECK_DRAWING_H

/* Private to src/output: what the files of the check picture share. */

#include "files/card.h"
#include "files/names.h"
#include "files/photo.h"
#include "measurement/measurement.h"
#include "check_layout.h"

struct flow;

/* A colour as a screen shows it. */
struct shown {
    struct paint paint;
    bool clipped; /* the screen has no such colour; `paint` is near it */
};

struct check_drawing {
    struct canvas *canvas;
    const struct photo *photo;
    const struct measurement *measurement;
    const struct measured_chart *chart; /* of its charts; without outlines where none was found */
    const struct names *names;          /* NULL: cells go by their labels */
    const struct card *card;
    struct check_layout layout;
    struct shown *cells; /* as the chart's readings; NULL: not measured */
    struct shown patch_measured[CARD_PATCHES_MAX];
    struct shown patch_tabulated[CARD_PATCHES_MAX];
    struct shown paper;
};

/* --- the parts --- */

/** The photo with everything outlined in it. */
void check_photo_draw(const struct check_drawing *drawing);

/** The chart's grid of measured colours. */
void check_grid_draw(const struct check_drawing *drawing);

/** Heading, facts and legend; the y below the longest column. */
double check_panel_draw(const struct check_drawing *drawing);

/** The marks this picture bears, in words; `beside` NULL, or a column for the later half. */
void check_legend_draw(const struct check_drawing *drawing, struct flow *flow, struct flow *beside);

/** What stands in place of facts where a photo is refused; the y below. */
double check_refusal_draw(const struct check_drawing *drawing, const char *message);

/* --- what was found --- */

bool check_has_card(const struct check_drawing *drawing);
bool check_has_chart(const struct check_drawing *drawing);
int check_cells(const struct check_drawing *drawing); /* measured ones */
bool check_patch_left_out(const struct check_drawing *drawing, int patch);

/** A flag, or a cell whose name and ink do not agree, wants a look. */
bool check_wants_look(const struct check_drawing *drawing, const struct reading *reading);

/** A colour in figures, with its uncertainty if wanted. */
#define CHECK_NUMBERS_SIZE 64
void check_numbers(const struct reading *reading, bool with_u95, char numbers[CHECK_NUMBERS_SIZE]);

/** The part of a path behind its last slash. */
const char *check_file_name(const char *path);

#endif
