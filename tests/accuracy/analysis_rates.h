#ifndef ACCURACY_ANALYSIS_RATES_H
#define ACCURACY_ANALYSIS_RATES_H

/*
 * How often the analyses are right, by simulation: normal errors of known size
 * on invented colours, seeds fixed. All rates are fractions of `runs`.
 */

enum spread_knowledge { SPREAD_TOLD, SPREAD_ESTIMATED };

/* Two batches of one ink, in one photo. */
struct batch_case {
    int swatches; /* of each */
    double spread;
    double delta_e; /* true difference, in perceptual steps */
    enum spread_knowledge knowledge;
    int inks; /* that share the spread; the first is asked */
};

struct batch_rates {
    double seen;    /* the difference vector is found not to be zero, at the 5 % level */
    double covered; /* the 95 % interval holds the true difference */
    double wrong;   /* "same" beyond the tolerance, or "different" within it */
    double delta_e_mean;
};
struct batch_rates rates_of_batches(const struct batch_case *batches, int runs);

/* Charts of many inks from two photos that differ by a common shift, a few of the inks changed. */
struct chart_case {
    int inks;
    int changed; /* the first so many differ by `delta_e` */
    double delta_e;
    double shift;     /* deviation per axis of the shift, Lab */
    double left_over; /* deviation per axis of what the photos differ by beside it, perceptual */
};
struct chart_rates {
    double any_false; /* charts with at least one false alarm */
    double seen;      /* changed inks found to be changed */
    double covered;   /* intervals that hold the truth */
};
struct chart_rates rates_of_charts(const struct chart_case *chart, int runs);

/* A swatch that dries, and fades, read at given times. */
struct drying_case {
    const double *minutes;
    int readings;
    double tau_minutes;
    double moved;     /* delta E from wet to dry; 0: it does not dry */
    double deviation; /* per axis of a reading, perceptual */
    double drift;     /* delta E in 30 days, from the first reading on */
};
struct drying_rates {
    double tau, dry, moved, settled, drift; /* intervals that hold the truth, of those stated */
    double fitted;                          /* those that state `dry` and `moved` */
    double curves;                          /* those that state `tau` and `settled` */
    double unmoved;                         /* found to show no change */
    double fading;                          /* those that state `drift` */
};
struct drying_rates rates_of_drying(const struct drying_case *drying, int runs);

#endif
