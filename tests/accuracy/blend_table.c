/*
 * The blend forecast against spectra: the invented inks on paper, and the same
 * blended by either law over their whole spectra, band by band. Only the two
 * colours are told to the forecast. `blend_table` prints a row for each way.
 */
#include "accuracy/blend_pairs.h"

#include "values/statistics.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#define PAIRS 1500

struct column {
    double error[PAIRS];
    const char *name;
};

static void print_column(struct column *column)
{
    double mean = statistics_mean(column->error, PAIRS);

    printf("  %-34s mean %5.2f   95 %% %5.2f   most %5.2f\n", column->name, mean,
           statistics_quantile(column->error, PAIRS, 0.95),
           statistics_maximum(column->error, PAIRS));
}

enum { RIGHT, WRONG, EITHER, AVERAGE, TESTED_HALF, TESTED_QUARTER, COLUMNS };

static struct lab average(struct lab a, struct lab b)
{
    return (struct lab){(a.L + b.L) / 2, (a.a + b.a) / 2, (a.b + b.b) / 2};
}

/* A test blend half way, then forecasts of that and of a quarter. */
static int add_tested(const struct blend_pairs *pairs, const struct blend_pair *pair,
                      enum blend_law law, int i, struct column *columns)
{
    struct blend_sample sample = {0.5, blend_pair_truth(pairs, pair, law, 0.5)};
    const struct blend_strip strip = {pair->first, pair->second, &sample, 1};
    struct blend_habit habit;
    struct blend_forecast forecast;
    struct error error;

    if (blend_learn(&pairs->observer, &strip, &habit, &error))
        return 1;
    forecast = blend_forecast_at(&pairs->observer, pair->first, pair->second, 0.5, &habit);
    columns[TESTED_HALF].error[i] = colour_delta_e_2000(forecast.lab, sample.lab);
    forecast = blend_forecast_at(&pairs->observer, pair->first, pair->second, 0.25, &habit);
    columns[TESTED_QUARTER].error[i] =
        colour_delta_e_2000(forecast.lab, blend_pair_truth(pairs, pair, law, 0.25));
    return 0;
}

static void print_law(const struct blend_pairs *pairs, enum blend_law law)
{
    static struct column columns[COLUMNS] = {
        [RIGHT] = {.name = "the right law, two colours alone"},
        [WRONG] = {.name = "the other law"},
        [EITHER] = {.name = "half way between the laws"},
        [AVERAGE] = {.name = "the average of the two Labs"},
        [TESTED_HALF] = {.name = "after a test blend, half way"},
        [TESTED_QUARTER] = {.name = "after a test blend, at a quarter"}};
    const struct blend_habit unknown = blend_habit_unknown();
    struct random random = {.state = 7};
    int held[2] = {0, 0};
    double radius = 0;

    for (int i = 0; i < PAIRS; i++) {
        struct blend_pair pair = blend_pair_draw(pairs, &random);
        struct lab truth = blend_pair_truth(pairs, &pair, law, 0.5);
        struct blend_forecast forecast =
            blend_forecast_at(&pairs->observer, pair.first, pair.second, 0.5, &unknown);
        struct blend_habit sure = {BLEND_BY_OTHERS, law, 1, {0, 0, 0}};

        columns[RIGHT].error[i] = colour_delta_e_2000(forecast.by_law[law], truth);
        columns[WRONG].error[i] = colour_delta_e_2000(forecast.by_law[1 - (int)law], truth);
        columns[EITHER].error[i] = colour_delta_e_2000(forecast.lab, truth);
        columns[AVERAGE].error[i] =
            colour_delta_e_2000(average(pair.first->lab, pair.second->lab), truth);
        held[0] += columns[EITHER].error[i] <= forecast.u95;
        forecast = blend_forecast_at(&pairs->observer, pair.first, pair.second, 0.5, &sure);
        held[1] += columns[RIGHT].error[i] <= forecast.u95;
        radius += forecast.u95 / PAIRS;
        if (add_tested(pairs, &pair, law, i, columns))
            printf("  (a pair taught nothing)\n");
    }
    printf("Blended by %s:\n", blend_law_name(law));
    for (int i = 0; i < COLUMNS; i++)
        print_column(&columns[i]);
    printf("  radius holds the truth: either law %.1f %%, the right law %.1f %% (radius %.2f)\n",
           100.0 * held[0] / PAIRS, 100.0 * held[1] / PAIRS, radius);
}

int main(void)
{
    struct blend_pairs pairs;
    struct error error;

    if (blend_pairs_create(&pairs, &error)) {
        fprintf(stderr, "%s\n", error.message);
        return (int)error.status;
    }
    for (int law = 0; law < BLEND_LAWS; law++)
        print_law(&pairs, (enum blend_law)law);
    return 0;
}
