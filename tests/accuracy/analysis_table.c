/*
 * The table of how often batches are told apart and drying fits hold, by
 * simulation; `make accuracy` runs it with many runs.
 */

#include "analysis/batches.h"
#include "analysis_rates.h"

#include <stdio.h>
#include <stdlib.h>

static void print_batches(int runs)
{
    static const struct batch_case cases[] = {
        {1, 0.5, 0.0, SPREAD_TOLD, 1},       {6, 0.5, 0.0, SPREAD_TOLD, 1},
        {6, 0.5, 1.0, SPREAD_TOLD, 1},       {22, 1.0, 1.0, SPREAD_TOLD, 1},
        {4, 0.5, 0.0, SPREAD_ESTIMATED, 1},  {6, 0.5, 0.0, SPREAD_ESTIMATED, 1},
        {6, 0.5, 1.0, SPREAD_ESTIMATED, 1},  {9, 0.5, 1.0, SPREAD_ESTIMATED, 1},
        {25, 1.0, 1.0, SPREAD_ESTIMATED, 1}, {2, 0.5, 0.0, SPREAD_ESTIMATED, 12},
        {6, 0.5, 0.5, SPREAD_TOLD, 1},       {6, 0.5, 1.8, SPREAD_TOLD, 1},
        {6, 0.5, 3.0, SPREAD_TOLD, 1},       {6, 0.5, 1.8, SPREAD_ESTIMATED, 1},
        {6, 0.5, 3.0, SPREAD_ESTIMATED, 1},  {1, 0.5, 3.0, SPREAD_TOLD, 1}};

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

static void print_charts(int runs)
{
    static const struct chart_case cases[] = {
        {12, 0, 0, 0, 0},   {40, 0, 0, 0, 0},     {40, 0, 0, 2, 0},     {40, 0, 0, 2, 0.5},
        {40, 4, 4.0, 2, 0}, {40, 4, 4.0, 2, 0.5}, {12, 2, 4.0, 2, 0.3}, {8, 0, 0, 1, 0.3}};

    printf("\n%4s %7s %5s %5s %5s  %9s %6s %8s\n", "inks", "changed", "true", "shift", "left",
           "any false", "seen", "covered");
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        const struct chart_case *chart = &cases[i];
        struct chart_rates rates = rates_of_charts(chart, runs / 4);

        printf("%4d %7d %5.1f %5.1f %5.1f  %9.4f %6.4f %8.4f\n", chart->inks, chart->changed,
               chart->delta_e, chart->shift, chart->left_over, rates.any_false, rates.seen,
               rates.covered);
    }
}

static void print_drying(int runs)
{
    static const double ten[] = {2, 5, 10, 15, 20, 30, 45, 60, 90, 120};
    static const double six[] = {2, 10, 20, 40, 80, 160};
    static const double four[] = {5, 30, 60, 240};
    static const double days[] = {1440, 2880, 5760, 10080, 20160, 40320};
    static const struct drying_case cases[] = {{ten, 10, 15, 6, 0.3}, {six, 6, 20, 6, 0.3},
                                               {six, 6, 20, 3, 0.3},  {four, 4, 20, 6, 0.3},
                                               {six, 6, 60, 6, 0.3},  {ten, 10, 15, 2, 0.3},
                                               {ten, 10, 15, 0, 0.3}, {six, 6, 15, 0, 0.3},
                                               {days, 6, 15, 0, 0.3}, {days, 6, 10000, 4, 0.3}};

    printf("\n%8s %5s %5s %5s  %6s %6s %6s %7s %7s %6s\n", "readings", "tau", "moved", "noise",
           "tau", "dry", "moved", "settled", "unmoved", "fading");
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        const struct drying_case *drying = &cases[i];
        struct drying_rates rates = rates_of_drying(drying, runs);

        printf("%8d %5.0f %5.1f %5.1f  %6.4f %6.4f %6.4f %7.4f %7.4f %6.4f\n", drying->readings,
               drying->tau_minutes, drying->moved, drying->deviation, rates.tau, rates.dry,
               rates.moved, rates.settled, rates.unmoved, rates.fading);
    }
}

int main(int argc, char **argv)
{
    int runs = argc > 1 ? atoi(argv[1]) : 8000;

    if (argc < 3)
        print_batches(runs);
    print_charts(runs);
    print_drying(runs);
    return 0;
}
