/*
 * Prints where the program sees the cells of a photo, and the area of each that it averages, for
 * location.py: usage: cell_outlines PHOTO CARD [ROWS COLUMNS PATTERN]
 * PATTERN has a character for each cell as named, row by row: '1' for a name, '0' for none.
 * Out, a line each, in pixels of the upright photo: row column refined (1 where the program is sure
 * of the corners to 2 % of the side), x and y of the 4 corners of the cell, x and y of the 4
 * corners of the area.
 */

#include "files/card.h"
#include "files/photo.h"
#include "measurement/measurement.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define SURE_MAX 0.02 /* of the side: an outline that claims to be this good is held to it */

static void print_quad(const struct quad *quad, double scale)
{
    for (int i = 0; i < 4; i++)
        printf(" %.3f %.3f", quad->corner[i].x * scale, quad->corner[i].y * scale);
}

static void print_cells(const struct measurement *measurement, double scale)
{
    const struct chart_pose *chart = &measurement->charts[0].pose;

    for (int i = 0; i < chart->rows * chart->columns; i++) {
        const struct reading *reading = &measurement->charts[0].readings[i];

        printf("%d %d %d", reading->row, reading->column, chart->corner_error[i] <= SURE_MAX);
        print_quad(&reading->outline, scale);
        print_quad(&reading->sampled, scale);
        printf("\n");
    }
}

static bool *named_cells(const char *pattern, struct measurement_hints *hints)
{
    size_t count = strlen(pattern);
    bool *named = calloc(count + 1, sizeof *named);

    for (size_t i = 0; named && i < count; i++)
        named[i] = pattern[i] == '1';
    hints->named = named;
    return named;
}

int main(int argc, char **argv)
{
    struct card card = {0};
    char path[1024];
    struct photo photo = {0};
    struct measurement measurement = {0};
    struct measurement_hints hints = {.card = &card};
    struct error error;
    enum status status = argc < 3 ? STATUS_USAGE : STATUS_OK;
    bool *named = NULL;

    if (argc == 6) {
        hints.rows = atoi(argv[3]);
        hints.columns = atoi(argv[4]);
        named = named_cells(argv[5], &hints);
    }
    if (!status)
        status = card_find(argv[2], path, sizeof path, &error);
    if (!status)
        status = card_read(path, &card, &error);
    if (!status)
        status = photo_read(argv[1], PHOTO_WORKING_PIXELS_MAX, &photo, &error);
    if (!status)
        status = measurement_from_photo(&photo, &hints, &measurement, &error);
    if (!status)
        print_cells(&measurement, photo.scale);
    measurement_release(&measurement);
    photo_release(&photo);
    free(named);
    return (int)status;
}
