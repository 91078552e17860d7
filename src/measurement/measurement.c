#include "measurement/measurement.h"

#include "location/card_pose.h"
#include "location/chart_pose.h"
#include "cell_contents.h"
#include "cells.h"
#include "scene.h"
#include "sensors.h"
#include "surfaces.h"
#include "turn.h"
#include "vision/lattice.h"
#include "vision/regions.h"

#include <stdlib.h>
#include <string.h>

#define LOOKS 2         /* scales at which regions are looked for, from the first */
#define COARSE_SHRINK 1 /* the usual first look, at half the working picture */
#define PATCH_CLIPPED_MAX 0.05
/* L* above which nothing is paper: 100 is a perfect white, paper that glows in ultraviolet light
 * comes near it; common practice, no source. */
#define PAPER_L_MAX 102.0

static enum status find_card(const struct photo *photo, const struct measurement_hints *hints,
                             const struct regions *regions, struct measurement *measurement,
                             struct error *error)
{
    struct lattices lattices = {0};
    enum status status;

    if (hints->card_given)
        return card_pose_from_corners(photo, &hints->card_at, hints->card, &measurement->card,
                                      error);
    status = lattice_find_all(regions, &lattices, error);
    if (!status)
        status = card_pose_find(photo, &lattices, hints->card, &measurement->card,
                                &measurement->second_card, error);
    lattices_release(&lattices);
    return status;
}

static void release_charts(struct measurement *measurement)
{
    for (int i = 0; i < measurement->chart_count; i++) {
        chart_pose_release(&measurement->charts[i].pose);
        free(measurement->charts[i].readings);
        measurement->charts[i].readings = NULL;
    }
    measurement->chart_count = 0;
}

/* Lay out the charts whose places were told. */
static enum status place_told(const struct view *view, const struct measurement_hints *hints,
                              struct chart_poses *charts, struct error *error)
{
    enum status status = STATUS_OK;

    for (int i = 0; !status && i < hints->told_count; i++) {
        const struct chart_told *told = &hints->told[i];
        const struct chart_wanted wanted = {.rows = told->rows, .columns = told->columns};
        struct chart_pose *pose = &charts->items[charts->count++];

        status = chart_pose_from_corners(view, &told->at, &wanted, pose, error);
        pose->number = i + 1;
        pose->charts = hints->told_count;
        if (!status && told->printed)
            status = printed_chart_place(view->photo, told->printed, &told->from_page,
                                         pose->outline, error);
    }
    return status;
}

/* Find the charts anew; a finer look comes after a coarser one. */
static enum status find_charts(const struct photo *photo, const struct measurement_hints *hints,
                               const struct regions *regions, struct measurement *measurement,
                               struct error *error)
{
    const struct chart_wanted wanted = {hints->rows,         hints->columns,     hints->named,
                                        hints->chart_number, hints->every_chart, hints->turned,
                                        hints->turns};
    const struct card_pose cards[2] = {measurement->card, measurement->second_card};
    const struct view view = {photo, regions, cards};
    struct chart_poses charts = {.count = 0};
    enum status status;

    release_charts(measurement);
    if (hints->told_count)
        status = place_told(&view, hints, &charts, error);
    else
        status = chart_pose_find(&view, &wanted, &charts, error);
    for (int i = 0; i < charts.count; i++)
        measurement->charts[i].pose = charts.items[i];
    measurement->chart_count = charts.count;
    return status;
}

/* Look coarsely; what that misses (small cards, thin gaps) look for finely. */
static enum status locate(const struct photo *photo, const struct measurement_hints *hints,
                          struct measurement *measurement, struct error *error)
{
    enum status status = STATUS_NOT_FOUND;
    bool card_found = false;

    for (int shrink = COARSE_SHRINK; status == STATUS_NOT_FOUND && shrink >= 0; shrink--) {
        struct regions regions = {0};

        status = regions_find(&photo->image, shrink, LOOKS, &regions, error);
        if (!status && !card_found)
            status = find_card(photo, hints, &regions, measurement, error);
        card_found = card_found || !status;
        if (!status && !hints->card_only)
            status = find_charts(photo, hints, &regions, measurement, error);
        regions_release(&regions);
    }
    return status;
}

static enum status sample_card(const struct photo *photo, const struct card_pose *pose,
                               struct correction_input *input, struct error *error)
{
    enum status status = STATUS_OK;

    for (int i = 0; !status && i < pose->shape.patches; i++) {
        struct quad inner = quad_inset(&pose->patch[i], MEASUREMENT_PATCH_INSET);

        input->patch[i].at =
            quad_centre(&inner); /* also of one that is hidden: it tells the card's place */
        if (pose->hidden[i])
            continue;
        status = sampling_area(photo, &inner, &input->patch[i], error);
        input->use_patch[i] = input->patch[i].clipped < PATCH_CLIPPED_MAX;
    }
    return status;
}

/* Read the second card through the first one's correction: how far off that is, is a check of all
 * that was done, on colours that had no part in it. */
static enum status check_second_card(const struct photo *photo, const struct card *card,
                                     struct measurement *measurement, struct error *error)
{
    const struct card_pose *pose = &measurement->second_card;
    double sum = 0;
    int count = 0;

    for (int i = 0; pose->found && i < pose->shape.patches; i++) {
        struct quad inner = quad_inset(&pose->patch[i], MEASUREMENT_PATCH_INSET);
        enum status status;
        struct area_sample sample;
        struct rgb light;
        struct lab lab;

        if (pose->hidden[i])
            continue;
        status = sampling_area(photo, &inner, &sample, error);
        if (status == STATUS_MEMORY)
            return status;
        if (status || sample.clipped > PATCH_CLIPPED_MAX)
            continue;
        light = correction_light(measurement->correction, sample.at);
        for (int k = 0; k < 3; k++)
            sample.rgb_linear.channel[k] =
                correction_tone(measurement->correction, k, sample.rgb_linear.channel[k]) /
                light.channel[k];
        correction_lab(measurement->correction, &sample.rgb_linear, 1, &lab);
        sum += colour_delta_e_2000(lab, card->patch[i]);
        count++;
    }
    measurement->second_card_error = count ? sum / count : 0;
    return STATUS_OK;
}

static enum status fit_correction(const struct photo *photo, const struct measurement_hints *hints,
                                  const struct surfaces *surfaces, struct measurement *measurement,
                                  struct error *error)
{
    struct correction_input input = {.card = hints->card,
                                     .raw = photo->raw,
                                     .paper = surfaces->paper.samples,
                                     .paper_count = surfaces->paper.count,
                                     .desk = surfaces->desk,
                                     .desk_count = surfaces->desk_count};
    enum status status = sample_card(photo, &measurement->card, &input, error);

    if (!status)
        status = correction_fit(&input, &measurement->correction, &measurement->quality, error);
    if (!status)
        status = check_second_card(photo, hints->card, measurement, error);
    return status;
}

static enum status look_at_paper(const struct photo *photo, struct measurement *measurement,
                                 struct error *error)
{
    const struct scene *scene = measurement->scene;

    measurement->paper = scene_lab(scene, scene->paper_colour);
    sensors_of_paper(scene, measurement->paper, &measurement->faults);
    if (!scene->paper.count || !(measurement->paper.L > PAPER_L_MAX))
        return STATUS_OK;
    return error_set(error, STATUS_QUALITY,
                     "%s: the paper comes out at L* %.0f, and 100 is a perfect white: the card "
                     "lies in less light than the sheet; lay both flat, side by side, in one light",
                     photo->path, measurement->paper.L);
}

/* Look at the light on paper and desk, fit light and colour, and undo the tone of the photo. */
static enum status fit_light(const struct photo *photo, const struct measurement_hints *hints,
                             struct measurement *measurement, struct error *error)
{
    struct surfaces surfaces = {0};
    struct chart_poses charts = {.count = measurement->chart_count};
    enum status status = STATUS_OK;

    for (int i = 0; i < charts.count; i++)
        charts.items[i] = measurement->charts[i].pose;
    if (charts.count)
        status = surfaces_find(photo, &measurement->card, &charts, &surfaces, error);
    if (!status)
        status = fit_correction(photo, hints, &surfaces, measurement, error);
    if (!status)
        sensors_of_card(photo, hints->card, measurement, &measurement->faults);
    if (!status && charts.count)
        status = scene_create(photo, measurement->correction, &surfaces.paper, &measurement->scene,
                              error);
    if (!status && charts.count)
        status = look_at_paper(photo, measurement, error);
    surfaces_release(&surfaces);
    return status;
}

enum status measurement_find(const struct photo *photo, const struct measurement_hints *hints,
                             struct measurement *measurement, struct error *error)
{
    enum status status = locate(photo, hints, measurement, error);

    return status ? status : fit_light(photo, hints, measurement, error);
}

/* Cells that can't be read, or are said to hold ink and go on evenly over their rims. */
static int cells_of_no_use(const struct scene *scene, const struct measured_chart *chart)
{
    int useless = 0;

    for (int i = 0; i < chart->pose.rows * chart->pose.columns; i++)
        useless += chart->readings[i].found == CELL_UNREADABLE ||
                   (chart->readings[i].found == CELL_INK &&
                    cell_contents_goes_on(scene, &chart->readings[i].outline));
    return useless;
}

/* Refuse a chart of which nothing can be read, or, placed by hand, little: it is not there. */
static enum status refuse_unreadable(const struct photo *photo, const struct measured_chart *chart,
                                     const struct scene *scene, struct error *error)
{
    int cells = chart->pose.rows * chart->pose.columns;
    int useless = cells_of_no_use(scene, chart);

    if (useless < cells && !(chart->pose.given && 2 * useless >= cells))
        return STATUS_OK;
    return error_set(error, STATUS_QUALITY, "%s: %d of %d cells show no ink on paper; %s",
                     photo->path, useless, cells,
                     chart->pose.given ? "see that --chart-at gives the corners of the chart, x "
                                         "before y, in pixels of the photo upright, and that "
                                         "--rows and --columns are right"
                                       : "photograph the sheet nearer, sharply, in more light");
}

/* Read the cells of one of the charts found. */
static enum status read_chart(const struct photo *photo, const struct measurement_hints *hints,
                              int chart, struct measurement *measurement, struct error *error)
{
    struct measured_chart *read = &measurement->charts[chart];
    const struct chart_told *told = hints->told_count ? &hints->told[chart] : NULL;
    bool printed = told && told->printed;
    enum status status = cells_read(measurement->scene, read, error);

    if (status)
        return status;
    read->faults = measurement->faults;
    sensors_of_chart(measurement->scene, read, hints->card, &read->faults);
    if (printed)
        sensors_of_print(measurement->scene, told, &read->faults);
    cells_widen(read);
    status = refuse_unreadable(photo, read, measurement->scene, error);
    /* a printed sheet's marks tell how it lies, however few of its cells are inked yet */
    return status || printed ? status : turn_check(photo, hints->named, read, error);
}

enum status measurement_from_photo(const struct photo *photo, const struct measurement_hints *hints,
                                   struct measurement *measurement, struct error *error)
{
    enum status status = measurement_find(photo, hints, measurement, error);

    for (int i = 0; !status && i < measurement->chart_count; i++)
        status = read_chart(photo, hints, i, measurement, error);
    return status;
}

void measurement_release(struct measurement *measurement)
{
    release_charts(measurement);
    scene_release(measurement->scene);
    correction_release(measurement->correction);
    memset(measurement, 0, sizeof *measurement);
}
