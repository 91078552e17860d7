#include "analysis/difference.h"

#include "values/angle.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#define NEUTRAL_CHROMA 6.0 /* below, hue is too weak a thing to turn */
#define WARM_DEGREES 55.0  /* orange: the way from cool to warm in the a*b* plane */

static double mixed_hue_difference(struct lab from, struct lab to)
{
    double product = colour_chroma(from) * colour_chroma(to);
    double size = sqrt(fmax(0, 2 * (product - from.a * to.a - from.b * to.b)));

    return from.a * to.b - from.b * to.a < 0 ? -size : size;
}

/* The colour with another's chroma. */
static struct lab with_chroma(struct lab lab, double chroma)
{
    double own = colour_chroma(lab);

    if (own > 0) {
        lab.a *= chroma / own;
        lab.b *= chroma / own;
    }
    return lab;
}

struct difference difference_between(struct lab from, struct lab to)
{
    double chroma = colour_chroma(from);
    struct lab other_lightness = {to.L, from.a, from.b};
    /* a grey has no hue to keep: give it the other's */
    struct lab hued = chroma > 0 ? from : (struct lab){from.L, to.a * 1e-6, to.b * 1e-6};
    struct lab other_chroma = with_chroma(hued, colour_chroma(to));
    struct lab turned = {other_chroma.L, to.a, to.b};

    return (struct difference){
        .from = from,
        .to = to,
        .delta_e = colour_delta_e_2000(from, to),
        .dL = to.L - from.L,
        .dC = colour_chroma(to) - chroma,
        .dH = mixed_hue_difference(from, to),
        .seen_lightness = colour_delta_e_2000(from, other_lightness),
        .seen_chroma = colour_delta_e_2000(hued, other_chroma),
        .seen_hue = colour_delta_e_2000(other_chroma, turned),
    };
}

/* --- words ---------------------------------------------------------------------------------- */

const char *difference_turn_word(double degrees, bool grows)
{
    static const struct {
        double degrees;
        const char *word;
    } hues[4] = {{25, "redder"}, {92, "yellower"}, {165, "greener"}, {246, "bluer"}};
    int above = 0;

    while (above < 4 && hues[above].degrees <= degrees)
        above++;
    return hues[grows ? above % 4 : (above + 3) % 4].word;
}

/* The hue that a move in the a*b* plane goes towards. */
static const char *towards(double da, double db)
{
    if (fabs(da) > fabs(db))
        return da > 0 ? "redder" : "greener";
    return db > 0 ? "yellower" : "bluer";
}

static void add_word(char words[DIFFERENCE_WORDS_SIZE], const char *word)
{
    size_t length = strlen(words);

    snprintf(words + length, DIFFERENCE_WORDS_SIZE - length, "%s%s", length ? ", " : "", word);
}

static int is_neutral(const struct difference *difference)
{
    return fmin(colour_chroma(difference->from), colour_chroma(difference->to)) < NEUTRAL_CHROMA;
}

/* A grey's move in the a*b* plane is one thing, not chroma and hue. */
static double seen_plane(const struct difference *difference)
{
    struct lab moved = {difference->from.L, difference->to.a, difference->to.b};

    return colour_delta_e_2000(difference->from, moved);
}

static void add_colour_words(const struct difference *difference, double least,
                             char words[DIFFERENCE_WORDS_SIZE])
{
    double middle_degrees;

    if (difference->seen_chroma >= least)
        add_word(words, difference->dC > 0 ? "brighter" : "duller");
    if (difference->seen_hue < least)
        return;
    middle_degrees = colour_hue_degrees((struct lab){0, difference->from.a + difference->to.a,
                                                     difference->from.b + difference->to.b});
    add_word(words, difference_turn_word(middle_degrees, difference->dH > 0));
}

void difference_words(const struct difference *difference, double least,
                      char words[DIFFERENCE_WORDS_SIZE])
{
    int neutral = is_neutral(difference);
    int hue_moved = (neutral ? seen_plane(difference) : difference->seen_hue) >= least;

    words[0] = '\0';
    if (difference->seen_lightness >= least)
        add_word(words, difference->dL > 0 ? "lighter" : "darker");
    if (!neutral)
        add_colour_words(difference, least, words);
    else if (hue_moved)
        add_word(words, towards(difference->to.a - difference->from.a,
                                difference->to.b - difference->from.b));
    if (!words[0])
        add_word(words, "alike");
    else if (!hue_moved && !neutral)
        add_word(words, "same hue");
}

const char *difference_character(const struct difference *difference, double least)
{
    if (difference->seen_lightness < least || difference->seen_chroma < least)
        return "";
    if (difference->dC > 0)
        return difference->dL > 0 ? "brighter" : "deeper";
    return difference->dL > 0 ? "paler" : "muddier";
}

const char *difference_warmth(const struct difference *difference, double least)
{
    double way = (difference->to.a - difference->from.a) * cos(WARM_DEGREES * ANGLE_PI / 180) +
                 (difference->to.b - difference->from.b) * sin(WARM_DEGREES * ANGLE_PI / 180);
    struct lab moved = difference->from;

    moved.a += way * cos(WARM_DEGREES * ANGLE_PI / 180);
    moved.b += way * sin(WARM_DEGREES * ANGLE_PI / 180);
    if (colour_delta_e_2000(difference->from, moved) < least)
        return "";
    return way > 0 ? "warmer" : "cooler";
}
