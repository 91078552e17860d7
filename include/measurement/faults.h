#ifndef WOAD_MEASUREMENT_FAULTS_H
#define WOAD_MEASUREMENT_FAULTS_H

#include <stdbool.h>

/*
 * What spoils a photo without a card's fit showing it: each kind has a sensor of its own, and what
 * it sees widens every reading's uncertainty, or leaves it without promise.
 */
enum fault_kind {
    FAULT_PAPER_LIGHTER, /* than any paper: the card lies in less light than the sheet */
    FAULT_PAPER_DARKER, /* than white paper: the card lies in more light, or it is no white paper */
    FAULT_CARD_HAZY,    /* the card's black is too light for its white */
    FAULT_SHEET_HAZY,   /* no ink of many is dark in any channel */
    FAULT_LOCAL_TONE,   /* paper is lighter beside dark cells than beside pale ones */
    FAULT_PRINTED_GREYS, /* a printed sheet's greys are lighter within dark than within white */
    FAULT_GREYS,         /* the card's greys do not lie on one curve */
    FAULT_CARD_COLOURS,  /* its patches disagree with its table */
    FAULT_OVEREXPOSED,   /* paper reaches the end of the range */
    FAULT_COMPRESSED,    /* the JPEG rounds flat areas coarsely */
    FAULTS
};

struct fault {
    bool found;
    double seen;      /* in the sensor's own unit, see faults.c */
    double deviation; /* standard uncertainty, delta E 2000, that every reading has more for it */
    bool unpromised;  /* so much of it that no uncertainty can be promised */
};

struct faults {
    struct fault of[FAULTS];
};

enum photo_verdict { PHOTO_FIT, PHOTO_LARGER_DOUBT, PHOTO_NOT_PROMISED };

enum photo_verdict faults_verdict(const struct faults *faults);

/** The fault that weighs most, FAULTS for none. */
enum fault_kind faults_worst(const struct faults *faults);

/** The standard uncertainty of all faults together, delta E 2000. */
double faults_deviation(const struct faults *faults);

#endif
