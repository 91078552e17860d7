/*
 * The correction alone, told what was seen where: for values that come from no picture, as the raw
 * values of a target that someone has measured. Prints how far the cells are off.
 *
 * usage: patch_values raw|plain CARD.txt VALUES.csv
 *
 * VALUES.csv has a line for each patch, cell or sample of paper: what it is, x, y, R, G, B and, for
 * a cell, its true L, a, b in D50 for the 2 degree observer. Places in any unit but one as small
 * as a pixel; R, G, B in linear light, white below 1; the card's 24 patches in the order of its
 * file.
 */
#include "card_values.h"
#include "correction/correction.h"
#include "files/csv.h"
#include "measurement/radius.h"
#include "values/statistics.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define SAMPLES_MAX 1000
#define PIXELS 400 /* as many as a patch has in a photo of a common size */
#define VALUES 9

struct values {
    struct correction_input input;
    struct card card;
    struct area_sample paper[SAMPLES_MAX], cell[SAMPLES_MAX];
    struct lab truth[SAMPLES_MAX];
    int cells;
};

static void end_with(const char *message)
{
    fprintf(stderr, "patch_values: %s\n", message);
    exit(EXIT_FAILURE);
}

static void add(struct values *values, const char *what, const double number[VALUES], int *patches)
{
    struct area_sample sample = {.at = {number[0], number[1]},
                                 .rgb_linear = {{number[2], number[3], number[4]}},
                                 .pixels = PIXELS,
                                 .kept = PIXELS};

    if (strcmp(what, "card") == 0 && *patches < CARD_PATCHES) {
        values->input.use_patch[*patches] = true;
        values->input.patch[(*patches)++] = sample;
    } else if (strcmp(what, "paper") == 0 && values->input.paper_count < SAMPLES_MAX) {
        values->paper[values->input.paper_count++] = sample;
    } else if (strcmp(what, "cell") == 0 && values->cells < SAMPLES_MAX) {
        values->truth[values->cells] = (struct lab){number[5], number[6], number[7]};
        values->cell[values->cells++] = sample;
    } else {
        end_with("a line begins with card, paper or cell, and a card has 24 patches");
    }
}

static void read_values(const char *path, struct values *values)
{
    const struct csv_source source = {path, "values", 1 << 20};
    struct csv csv = {0};
    struct error error;
    int patches = 0;

    if (csv_read(&source, &csv, &error))
        end_with(error.message);
    for (size_t line = 1; line <= csv.line_count; line++) {
        double number[VALUES] = {0};

        for (size_t i = 0; i < VALUES; i++)
            number[i] = strtod(csv_field(&csv, line, i + 2), NULL);
        add(values, csv_field(&csv, line, 1), number, &patches);
    }
    csv_release(&csv);
    values->input.paper = values->paper;
    values->input.card = &values->card;
}

static struct lab read_cell(const struct correction *correction, const struct area_sample *cell)
{
    struct rgb light = correction_light(correction, cell->at), rgb;
    struct lab lab;

    for (int k = 0; k < 3; k++)
        rgb.channel[k] =
            correction_tone(correction, k, cell->rgb_linear.channel[k]) / light.channel[k];
    correction_lab(correction, &rgb, 1, &lab);
    return lab;
}

static void compare_cells(const struct values *values, const struct correction *correction,
                          const struct correction_quality *quality)
{
    double off[SAMPLES_MAX];
    int held = 0;

    for (int i = 0; i < values->cells; i++) {
        struct lab lab = read_cell(correction, &values->cell[i]);
        double covariance[9], radius;

        correction_covariance(correction, values->cell[i].at, lab, covariance);
        radius = radius_95(lab, covariance);
        off[i] = colour_delta_e_2000(lab, values->truth[i]);
        held += off[i] <= radius;
        printf("cell,%.1f,%.1f,%.1f,%.1f,%.1f,%.1f,%.2f,%.2f\n", values->truth[i].L,
               values->truth[i].a, values->truth[i].b, lab.L, lab.a, lab.b, off[i], radius);
    }
    printf("cells %d mean %.2f 95th %.2f held %.1f %% card left out %.2f (%s) fall-off %.2f\n",
           values->cells, statistics_mean(off, (size_t)values->cells),
           statistics_quantile(off, (size_t)values->cells, 0.95), 100.0 * held / values->cells,
           quality->left_out_mean, quality->method, quality->light_falloff);
}

int main(int count, char **words)
{
    static struct values values;
    struct correction_quality quality;
    struct correction *correction;
    struct error error;

    if (count != 4)
        end_with("usage: patch_values raw|plain CARD.txt VALUES.csv");
    if (card_read(words[2], &values.card, &error))
        end_with(error.message);
    read_values(words[3], &values);
    values.input.raw = strcmp(words[1], "raw") == 0;
    if (correction_fit(&values.input, &correction, &quality, &error))
        end_with(error.message);
    compare_cells(&values, correction, &quality);
    correction_release(correction);
    return EXIT_SUCCESS;
}
