#ifndef WOAD_ANALYSIS_COMBINE_H
#define WOAD_ANALYSIS_COMBINE_H

#include "analysis/blend.h"
#include "analysis/combination.h"
#include "analysis/range.h"
#include "base/error.h"

#include <stdbool.h>
#include <stddef.h>

/*
 * New combinations around an ink. A set of inks is looked at only if no two of
 * them are nearly the same, with a contrast every pair is above the floor of
 * harmony (inks of one hue are harmonious by that), the mood
 * is kept, and neighbours blend clean. One grey is enough, and none but the
 * ink asked for lies between two colours; only around a grey, tonal, are all
 * greys welcome. Those left are ranked by how similar their hues are (and how
 * far a contrast stands off), how far and how evenly they span in lightness,
 * and how clean they blend.
 * The bounds are ours; common practice, no source, unless one is named.
 */
#define COMBINE_COLOURS_MOST 4
#define COMBINE_INKS_MAX 300   /* of a larger range, as many that lie farthest apart */
#define COMBINE_IDENTICAL 10.0 /* delta E 2000: two inks nearer are nearly the same */
#define COMBINE_UNLIKE 8.0     /* combination_distance: two nearer are much the same */
#define COMBINE_CLEAN 0.55     /* of the neighbours' mean chroma, that the blend keeps */
#define COMBINE_FLOOR 0.15     /* of the range's pairs are below the floor of harmony_of_pair */
#define COMBINE_SAME_HUE 0.8   /* harmony_hue_similarity of what counts as one hue of several */
/* What is tonal: 33 degrees of hue apart at most, if colourful. Where that gives too few, inks
 * nearer one another are let in, and then hues up to 44 degrees apart. */
#define COMBINE_TONE_HUE 0.92
#define COMBINE_TONE_HUE_EASED 0.86
#define COMBINE_IDENTICAL_EASED 6.0
#define COMBINE_OTHER_HUE 0.6 /* a contrast's hue is no more similar than that */
#define COMBINE_HUES_MOST 3   /* O'Donovan and others 2011: two or three hues rate best */
#define COMBINE_SPAN 40.0     /* L*: a wider span does not raise the rank */

#define COMBINE_GREY_CHROMA 8.0 /* C*: less is a grey, which dulls colours on both sides of it */
#define COMBINE_USES_LEAST 2    /* proposals that one ink, or its like, may come in */
#define COMBINE_USES 0.4        /* or this part of those wanted, if it is more */

enum combine_mood {
    COMBINE_TONAL,   /* one hue, light and dark */
    COMBINE_CONTRAST /* one hue, and one ink that stands against it */
};

/* A test blend of two of the inks. */
struct combine_tested {
    size_t first, second; /* inks of the task */
    struct blend_habit habit;
};

struct combine_task {
    const struct range_ink *inks; /* every one has a colour */
    size_t count;
    size_t focus;
    size_t colours; /* 3 or 4 */
    enum combine_mood mood;
    const struct combine_tested *tested;
    size_t tested_count;
    struct blend_habit untested; /* how the other pairs mix, as far as is known */
    const struct combination *logged;
    size_t logged_count;
    bool unlike_log; /* as far from those logged as from one another */
    size_t wanted;
};

/* How two neighbours blend. */
struct combine_join {
    struct blend_forecast forecast; /* half way */
    double clean; /* how much chroma the blend keeps where it is dullest, 0 to 1, by whichever law
                     is the worse as long as none is settled */
    double clean_by_law[BLEND_LAWS];
    enum blend_basis basis;
};

/* How much of the pad a colour takes: the darkest an edge, since it covers most; the ink asked for,
 * or the lightest where that is the darkest, a half. Common practice, no source. */
enum combine_share { COMBINE_EDGE, COMBINE_QUARTER, COMBINE_HALF };

struct combine_proposal {
    size_t inks[COMBINE_COLOURS_MOST]; /* in the order to blend them, the darkest at an edge */
    enum combine_share shares[COMBINE_COLOURS_MOST];
    size_t count;
    double score;
    double hue_similarity; /* of those that share a hue, mean */
    double harmony;        /* of the least harmonious pair */
    double span;           /* L* */
    struct combine_join joins[COMBINE_COLOURS_MOST - 1];
    double nearest_logged; /* combination_distance; not finite: none logged */
    size_t logged;
    double nearest_other; /* of those proposed before it; not finite: none */
};

/* Why sets of inks were not looked at further. */
struct combine_refusals {
    size_t looked_at, identical, harsh, mood, muddy, like_others;
};

struct combine_answer {
    struct combine_proposal *proposals; /* the best first */
    size_t count;
    struct combine_refusals refusals; /* in the last round */
    size_t like_logged;  /* sets left out there, better than what was found, for the log */
    size_t first_logged; /* one that they are like */
    size_t strict;       /* proposals that needed no easing, the first ones */
    size_t left_out;     /* inks of a large range not looked at */
};

/**
 * Propose combinations, each unlike those before it.
 *
 * Owns:    the caller releases `answer` with combine_release.
 * Returns: STATUS_OK, also with fewer than wanted or none; STATUS_MEMORY.
 */
MUST_USE enum status combine_propose(const struct combine_task *task, struct combine_answer *answer,
                                     struct error *error);

void combine_release(struct combine_answer *answer);

/** How two inks of the task mix, as far as is known: tested, or as the others. */
struct blend_habit combine_habit(const struct combine_task *task, size_t first, size_t second);

/** How much chroma a blend keeps of what its inks have by their shares, 0 to 1. */
double combine_cleanness(struct lab first, struct lab second, double second_share,
                         struct lab blend);

#endif
