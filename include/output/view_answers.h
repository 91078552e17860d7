#ifndef WOAD_OUTPUT_VIEW_ANSWERS_H
#define WOAD_OUTPUT_VIEW_ANSWERS_H

#include "analysis/batches.h"
#include "analysis/cover.h"
#include "output/views.h"
#include "questions/combine_job.h"
#include "questions/compare_sides.h"
#include "questions/ink_past.h"

/* Views of what is asked of the range, as output/views.h has it. */

/* What to buy first. */
struct view_cover {
    const struct range_ink *inks;
    const struct cover *cover; /* of these inks; its count is 0 if there are none */
    int number;
    double within;
};

void view_cover(FILE *out, const struct view_frame *frame, const struct view_cover *asked);

/* Blends: what was asked, what is proposed, what one's own choice may give, what was made. */
struct view_blends {
    const struct combine_job *job;
    const struct combine_wishes *wishes;
    const size_t *own; /* inks picked, in the order they are laid */
    size_t own_count;
    const struct blend_forecast *own_half_way; /* between neighbours */
};

void view_blends(FILE *out, const struct view_frame *frame, const struct view_blends *asked);

/* What was seen of one ink. */
struct view_past {
    const char *name;
    const struct ink_past *past;
};

/** How an ink dried, its batches, the combinations it is in. */
void view_past(FILE *out, const struct view_frame *frame, const struct overview *overview,
               const struct view_past *asked);

/* Two batches. */
struct view_batches {
    const char *known;   /* the batches there are: "6, 7, 8" */
    const char *name[2]; /* what was asked for; empty: nothing yet */
    const struct compare_sides *sides;
    const struct batches *batches; /* NULL: nothing was asked */
};

void view_batches(FILE *out, const struct view_batches *asked);

/** The range from above (a*, b*) and from the side (chroma, L*), with doubts as ellipses. */
void view_maps(FILE *out, const struct view_frame *frame, const struct overview *overview);

#endif
