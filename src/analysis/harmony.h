#ifndef WOAD_ANALYSIS_HARMONY_H
#define WOAD_ANALYSIS_HARMONY_H

#include "values/colour.h"

/*
 * What published experiments say of two colours side by side. Taste differs
 * from person to person; these are means over many.
 */

/**
 * How harmonious a pair of colours was judged on average, about -1 to 1.
 *
 * Of use as a floor only: its first term just falls with the difference, so
 * the highest values go to pairs that are nearly the same.
 *
 * Source:  Ou and Luo 2006, Color Research and Application 31, 191-204: CH = HC
 *          + HL + HH, which was reported to correlate with the mean judgements of
 *          other pairs at about 0.85 (that figure, and the hue term HH, from
 *          memory and not checked against a second source).
 */
double harmony_of_pair(struct lab a, struct lab b);

/**
 * How similar the hues of two colours are: 1 the same, 0 opposite.
 *
 * A grey has no hue to clash nor to share: 0.75 with any colour, 1 with a grey.
 *
 * Source:  Schloss and Palmer 2011, Attention, Perception and Psychophysics 73,
 *          551-571: hue similarity explains 67 % of the variance of harmony and
 *          54 % of that of preference over 992 pairs. The measure is ours.
 */
double harmony_hue_similarity(struct lab a, struct lab b);

#endif
