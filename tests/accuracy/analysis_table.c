/*
 * The table of how often batches are told apart and drying fits hold, by
 * simulation; `make accuracy` runs it with many runs.
 */

#include "analysis/batches.h"
#include "analysis_rates.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

static void print_batches(int runs)
{
    static const struct batch_case cases[] = {
        {1, 0.5, 0.0, SPREAD_TOLD, 1},       {6, 0.5, 0.0, SPREAD_TOLD, 1},
        {4, 0.5, 0.0, SPREAD_ESTIMATED, 1},  {6, 0.5, 0.0, SPREAD_ESTIMATED, 1},
        {2, 0.5, 0.0, SPREAD_ESTIMATED, 12}, {6, 0.5, 0.5, SPREAD_TOLD, 1},
        {6, 0.5, 0.5, SPREAD_ESTIMATED, 1},  {6, 0.5, 1.0, SPREAD_ESTIMATED, 1},
        {6, 0.5, 1.8, SPREAD_TOLD, 1},       {6, 0.5, 1.8, SPREAD_ESTIMATED, 1},
        {6, 0.5, 3.0, SPREAD_TOLD, 1},       {6, 0.5, 3.0, SPREAD_ESTIMATED, 1},
        {1, 0.5, 3.0, SPREAD_TOLD, 1}};

    puts("Two batches of an ink in one photo.\n"
         "seen: the difference is found not to be nothing, at the 5 % level; covered: the 95 %\n"
         "interval of delta E holds the true one; wrong: 'same' beyond the tolerance of 1.8, or\n"
         "'different' within it. A delta E of 0 can't lie above its interval, so there 97.5 % is\n"
         "covered; a spread estimated (est) from the swatches themselves widens both ends for\n"
         "differences that are not 0 and holds 0 oftener still.\n");
    printf("%-10s %6s %6s %5s  %6s %8s %6s %7s\n", "swatches", "spread", "true", "inks", "seen",
           "covered", "wrong", "mean dE");
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        const struct batch_case *batches = &cases[i];
        struct batch_rates rates = rates_of_batches(batches, runs);

        printf("%2d + %-2d %s %6.2f %6.2f %5d  %6.4f %8.4f %6.4f %7.3f\n", batches->swatches,
               batches->swatches, batches->knowledge == SPREAD_TOLD ? "   " : "est",
               batches->spread, batches->delta_e, batches->inks, rates.seen, rates.covered,
               rates.wrong, rates.delta_e_mean);
    }
}

static void print_plan(double delta_e, double spread, enum spread_knowledge knowledge, int runs)
{
    struct batches_plan plan;
    struct batch_case batches = {0, spread, delta_e, knowledge, 1};
    double planned;

    if (!batches_plan(delta_e, spread, &plan))
        return;
    batches.swatches = knowledge == SPREAD_TOLD ? plan.swatches : plan.swatches_estimated;
    planned = knowledge == SPREAD_TOLD ? plan.power : plan.power_estimated;
    printf("%2d + %-2d %s %6.2f %6.2f  %7.4f %7.4f\n", batches.swatches, batches.swatches,
           knowledge == SPREAD_TOLD ? "   " : "est", spread, delta_e, planned,
           rates_of_batches(&batches, runs).seen);
}

static void print_plans(int runs)
{
    static const double cases[][2] = {{0.5, 0.5}, {1.0, 0.5}, {1.0, 1.0}, {1.8, 0.5}, {2.0, 1.0}};

    puts("\nThe swatches that --plan asks for, the spread told or to be estimated (est) from\n"
         "them, the power it states, and the part of comparisons in which the difference is "
         "seen.\n");
    printf("%-10s %6s %6s  %7s %7s\n", "swatches", "spread", "true", "planned", "seen");
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        print_plan(cases[i][0], cases[i][1], SPREAD_TOLD, runs);
        print_plan(cases[i][0], cases[i][1], SPREAD_ESTIMATED, runs);
    }
}

static void print_charts(int runs)
{
    static const struct chart_case cases[] = {
        {12, 0, 0, 0, 0},   {40, 0, 0, 0, 0},     {40, 0, 0, 2, 0},     {40, 0, 0, 2, 0.5},
        {40, 4, 4.0, 2, 0}, {40, 4, 4.0, 2, 0.5}, {12, 2, 4.0, 2, 0.3}, {8, 0, 0, 1, 0.3}};

    puts(
        "\nTwo photos of a chart, one swatch of an ink on each; the photos differ by a shift (its\n"
        "deviation per axis) and by what that leaves.\n"
        "any false: charts with an unchanged ink seen to differ. Holm promises 5 % at most, and\n"
        "less is used where inks are found changed or where chance makes the inks scatter more\n"
        "than their error, which is then taken for what the photos leave. seen: changed inks.\n"
        "covered: most inks are unchanged, so 97.5 % at least.\n");
    printf("%4s %7s %5s %5s %5s  %9s %6s %8s\n", "inks", "changed", "true", "shift", "left",
           "any false", "seen", "covered");
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        const struct chart_case *chart = &cases[i];
        struct chart_rates rates = rates_of_charts(chart, runs / 4);

        printf("%4d %7d %5.1f %5.1f %5.1f  %9.4f %6.4f %8.4f\n", chart->inks, chart->changed,
               chart->delta_e, chart->shift, chart->left_over, rates.any_false, rates.seen,
               rates.covered);
    }
}

static void print_rate(double rate)
{
    if (isnan(rate))
        printf(" %7s", "-");
    else
        printf(" %7.4f", rate);
}

static void print_drying(int runs)
{
    static const double ten[] = {2, 5, 10, 15, 20, 30, 45, 60, 90, 120};
    static const double six[] = {2, 10, 20, 40, 80, 160};
    static const double four[] = {5, 30, 60, 240};
    static const double days[] = {1440, 2880, 5760, 10080, 20160, 40320};
    static const double all[] = {2, 10, 20, 40, 80, 160, 2880, 10080, 20160, 40320, 80640};
    static const struct drying_case cases[] = {
        {ten, 10, 15, 6, 0.3, 0},   {six, 6, 20, 6, 0.3, 0},   {six, 6, 20, 3, 0.3, 0},
        {four, 4, 20, 6, 0.3, 0},   {six, 6, 60, 6, 0.3, 0},   {ten, 10, 15, 2, 0.3, 0},
        {six, 6, 20, 1, 0.3, 0},    {six, 6, 20, 0.5, 0.3, 0}, {ten, 10, 15, 0, 0.3, 0},
        {six, 6, 15, 0, 0.3, 0},    {days, 6, 15, 0, 0.3, 0},  {days, 6, 15, 0, 0.3, 1},
        {days, 6, 15, 0, 0.3, 3},   {all, 11, 20, 6, 0.3, 0},  {all, 11, 20, 6, 0.3, 2},
        {days, 6, 10000, 4, 0.3, 0}};

    puts("\nA swatch that dries with tau (minutes) by a delta E, and drifts on by one in 30 days.\n"
         "tau, dry, moved, settled, drift: 95 % intervals that hold the truth, of those stated;\n"
         "curve: a curve is, which states tau and settled; without one nothing is said to have\n"
         "moved beyond the error. Where the move is no larger than the noise or nothing moves, a\n"
         "curve is stated only where chance enlarged it, and its figures are off oftener: what it\n"
         "dries to is not.\n");
    printf("%8s %5s %5s %5s %5s %7s %7s %7s %7s %7s %7s %7s %7s\n", "readings", "tau", "moved",
           "drift", "noise", "tau", "dry", "moved", "settled", "drift", "curve", "unmoved",
           "fading");
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        const struct drying_case *drying = &cases[i];
        struct drying_rates rates = rates_of_drying(drying, runs);
        const double row[] = {rates.tau,   rates.dry,    rates.moved,   rates.settled,
                              rates.drift, rates.curves, rates.unmoved, rates.fading};

        printf("%8d %5.0f %5.1f %5.1f %5.1f", drying->readings, drying->tau_minutes, drying->moved,
               drying->drift, drying->deviation);
        for (size_t j = 0; j < sizeof row / sizeof *row; j++)
            print_rate(row[j]);
        putchar('\n');
    }
}

int main(int argc, char **argv)
{
    int runs = argc > 1 ? atoi(argv[1]) : 8000;

    print_batches(runs);
    print_plans(runs);
    print_charts(runs);
    print_drying(runs);
    return 0;
}
