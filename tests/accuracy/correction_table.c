/*
 * The correction's accuracy without pictures: simulated photos, the fit, and
 * the error on inks that were in no fit. Printed as a table.
 */
#include "accuracy/simulation.h"

#include "measurement/radius.h"
#include "values/statistics.h"

#include <stdio.h>
#include <stdlib.h>
#include <time.h>

#define PHOTOS 100
#define CELLS_MAX (PHOTOS * SIMULATION_CELLS)

struct tally {
    double error[CELLS_MAX];
    size_t count;
    size_t held; /* truths inside their 95 % radius */
};

struct grade_tally {
    struct tally all, supported;
    double left_out;
    double seconds;
    int refused;
};

static void add_cell(struct tally *tally, double error, double radius)
{
    tally->error[tally->count++] = error;
    tally->held += error <= radius;
}

static double stated_radius(const struct correction *correction, struct point at, struct lab lab)
{
    double covariance[9];

    correction_covariance(correction, at, lab, covariance);
    return radius_95(lab, covariance);
}

static void read_cells(const struct correction *correction, const struct simulation_photo *photo,
                       struct grade_tally *tally)
{
    for (int i = 0; i < SIMULATION_CELLS; i++) {
        const struct area_sample *cell = &photo->cell[i];
        struct rgb light = correction_light(correction, cell->at), rgb;
        struct lab lab;
        double error, radius;

        if (photo->cell_clipped[i])
            continue;
        for (int k = 0; k < 3; k++)
            rgb.channel[k] =
                correction_tone(correction, k, cell->rgb_linear.channel[k]) / light.channel[k];
        correction_lab(correction, &rgb, 1, &lab);
        error = colour_delta_e_2000(lab, photo->truth[i]);
        radius = stated_radius(correction, cell->at, lab);
        add_cell(&tally->all, error, radius);
        if (correction_supports(correction, lab))
            add_cell(&tally->supported, error, radius);
    }
}

static void take_photos(const struct simulation_world *world, enum simulation_grade grade,
                        struct grade_tally *tally)
{
    for (int seed = 0; seed < PHOTOS; seed++) {
        static struct simulation_photo photo;
        struct correction_quality quality;
        struct correction *correction;
        struct error error;
        clock_t start;

        simulation_take(world, grade, 1000 + (uint64_t)seed, &photo);
        start = clock();
        if (correction_fit(&photo.input, &correction, &quality, &error)) {
            tally->refused++;
            continue;
        }
        tally->seconds += (double)(clock() - start) / CLOCKS_PER_SEC / PHOTOS;
        tally->left_out += quality.left_out_mean / PHOTOS;
        read_cells(correction, &photo, tally);
        correction_release(correction);
    }
}

static void print_row(const char *grade, const char *which, struct tally *tally)
{
    printf("%-9s %-10s %6zu  %5.2f  %5.2f  %5.2f  %6.2f  %5.1f\n", grade, which, tally->count,
           statistics_mean(tally->error, tally->count),
           statistics_quantile(tally->error, tally->count, 0.5),
           statistics_quantile(tally->error, tally->count, 0.95),
           statistics_maximum(tally->error, tally->count),
           100.0 * (double)tally->held / (double)(tally->count ? tally->count : 1));
}

int main(void)
{
    static const char *const names[SIMULATION_GRADES] = {"clean", "even",  "ordinary",
                                                         "look",  "phone", "raw"};
    static struct simulation_world world;
    static struct grade_tally tally[SIMULATION_GRADES];

    simulation_world_create(&world);
    printf("%-9s %-10s %6s  %5s  %5s  %5s  %6s  %5s\n", "grade", "cells", "number", "mean",
           "median", "p95", "worst", "held %");
    for (int grade = 0; grade < SIMULATION_GRADES; grade++) {
        take_photos(&world, (enum simulation_grade)grade, &tally[grade]);
        print_row(names[grade], "all", &tally[grade].all);
        print_row(names[grade], "supported", &tally[grade].supported);
        printf("%-9s leave-one-out mean %.2f, refused %d, %.1f ms a fit\n", names[grade],
               tally[grade].left_out, tally[grade].refused, 1e3 * tally[grade].seconds);
    }
    return 0;
}
