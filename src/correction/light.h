#ifndef WOAD_CORRECTION_LIGHT_H
#define WOAD_CORRECTION_LIGHT_H

#include "base/error.h"
#include "files/card.h"
#include "values/colour.h"
#include "values/geometry.h"

#include <stdbool.h>
#include <stddef.h>

/*
 * The light that falls on the scene, a smooth field: the logarithm of its
 * level, and of its tint (red and blue over green), each a surface of quadratic
 * B-splines that bends no more than the samples ask for. It is fitted to
 * surfaces that are each of one colour: the card, as far as its colours are
 * known; the sheet's paper; and the desk, which lies between and around them.
 * Paper and desk may each swerve a little from the field, for a sheet curls
 * towards the light and a desk shines.
 */
#define LIGHT_KNOTS 8 /* splines along a side of the field */
#define LIGHT_GRID (LIGHT_KNOTS * LIGHT_KNOTS)
#define LIGHT_SWERVES 5 /* x, y, xx, xy, yy: of the whole field, of the paper, of the desk */

enum light_surface { LIGHT_PAPER, LIGHT_CARD, LIGHT_DESK, LIGHT_SURFACES };

/* The unknowns, in this order: splines, the field's swerve, each surface's own level, swerves of
 * paper and of desk, and what a shadow takes away. */
#define LIGHT_SWERVE LIGHT_GRID
#define LIGHT_LEVELS (LIGHT_SWERVE + LIGHT_SWERVES)
#define LIGHT_SWERVE_OF_PAPER (LIGHT_LEVELS + LIGHT_SURFACES)
#define LIGHT_SWERVE_OF_DESK (LIGHT_SWERVE_OF_PAPER + LIGHT_SWERVES)
#define LIGHT_OF_SHADOW (LIGHT_SWERVE_OF_DESK + LIGHT_SWERVES)
#define LIGHT_UNKNOWNS (LIGHT_OF_SHADOW + 1)

struct light_sample {
    struct point at;
    enum light_surface surface;
    double log_ratio[3]; /* of what was seen to what the surface would give in equal light */
    double deviation;    /* standard deviation of log_ratio */
};

/* What is known of the paper's own log_ratio beforehand. */
struct light_paper {
    bool known;
    double log_ratio[3];
};

/* What the field is fitted to. */
struct light_scene {
    const struct light_sample *samples;
    size_t count;
    struct light_paper paper;
    struct point centre; /* of the card: here the light is 1 */
};

/* A shadow's edge: a line, perhaps bent, across which the light changes. From the field's middle,
 * half its longer side 1. */
struct light_shadow {
    bool found;
    struct point normal;
    double distance;
    double half_width;
    double bend; /* what the edge turns off the line, over the square of the way along it */
};

struct light_field {
    struct point centre; /* here the light is 1 */
    struct point low;    /* the field is held constant outside this box */
    struct point high;
    struct point sheet_centre;
    double sheet_px; /* half the size of the sheet; 0 without paper */
    struct light_shadow shadow;
    double change; /* how much the light may change, of what is usual over a scene */
    double level[LIGHT_UNKNOWNS];
    double tint[LIGHT_UNKNOWNS][2];
    double level_covariance[LIGHT_UNKNOWNS * LIGHT_UNKNOWNS]; /* of the coefficients */
    double tint_covariance[LIGHT_UNKNOWNS * LIGHT_UNKNOWNS];  /* of either tint's coefficients */
};

/** Make the field 1 everywhere. */
void light_even(struct light_field *field);

/**
 * Fit the field to samples of surfaces, robustly.
 *
 * Returns: STATUS_OK; STATUS_MEMORY.
 */
MUST_USE enum status light_fit(const struct light_scene *scene, struct light_field *field,
                               struct error *error);

/** The light at a place, 1 at the field's centre. */
struct rgb light_at(const struct light_field *field, struct point at);

/** What bare paper would give at a place: its own level, the light, and how the sheet lies. */
struct rgb light_paper_at(const struct light_field *field, struct point at);

/** What bare paper would give in the light of the field's centre. */
struct rgb light_paper(const struct light_field *field);

/** The covariance (3 x 3, between channels) of the logarithm of the light at a place. */
void light_covariance(const struct light_field *field, struct point at, double covariance[9]);

/** The same (3 x 3) between the light at two places, as the samples leave it. */
void light_covariance_between(const struct light_field *field, struct point at, struct point other,
                              double covariance[9]);

/*
 * What else tells of the light, at places: with C the covariance of the light at a place with that
 * at those, the logarithms of channels there move by C * along, and their covariance becomes
 * looseness times what it was, less C * precision * C'.
 */
#define LIGHT_NEWS_MAX CARD_PATCHES_MAX
struct light_news {
    int count;
    struct point at[LIGHT_NEWS_MAX];
    double along[3 * LIGHT_NEWS_MAX];
    double precision[9 * LIGHT_NEWS_MAX * LIGHT_NEWS_MAX]; /* 3 count x 3 count */
    double looseness;
};

/**
 * Move the field as the news tells.
 *
 * Returns: STATUS_OK; STATUS_MEMORY.
 */
MUST_USE enum status light_hear(const struct light_news *news, struct light_field *field,
                                struct error *error);

/** The same for the paper's own level, which all cells read against paper share. */
void light_paper_covariance(const struct light_field *field, double covariance[9]);

#endif
