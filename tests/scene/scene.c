/*
 * The scene renderer's command line.
 */

#include "basics.h"
#include "develop.h"
#include "location.h"
#include "options.h"
#include "photo.h"
#include "testimages.h"
#include "truth.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static void mirror(struct raster *raster)
{
    int width = raster->width_px;

    for (int k = 0; k < 3; k++)
        for (int y = 0; y < raster->height_px; y++) {
            float *row = raster->plane[k] + (size_t)y * (size_t)width;

            for (int x = 0; x < width / 2; x++) {
                float left = row[x];

                row[x] = row[width - 1 - x];
                row[width - 1 - x] = left;
            }
        }
}

/* Write the photo and what is true of it: DIRECTORY/NAME with three endings. */
static void render(const char *directory, const char *name, const struct plan *plan)
{
    struct stage *stage = allocate(1, sizeof *stage);
    struct raster raster;
    char path[4096];

    stage_build(stage, plan);
    raster_start(&raster, stage->plan.width_px, stage->plan.height_px);
    stage_look(stage, &raster);
    expose(stage, &raster);
    if (!photo_is_raw(plan->format))
        develop(stage, &raster);
    if (plan->mirrored)
        mirror(&raster);
    snprintf(path, sizeof path, "%s/%s%s", directory, name, photo_ending(plan->format));
    photo_write(path, plan, &raster);
    snprintf(path, sizeof path, "%s/%s.truth.csv", directory, name);
    truth_write(path, stage);
    for (int i = 0; i < stage->sheets; i++) {
        snprintf(path, sizeof path, "%s/%s.%snames.csv", directory, name, i ? "second-" : "");
        names_write(path, &stage->sheet[i]);
    }
    raster_release(&raster);
    stage_release(stage);
    free(stage);
}

static void render_testimages(const char *directory)
{
    for (int i = 0; i < testimages_count(); i++) {
        struct plan plan = testimage_plan(i);

        render(directory, testimage_name(i), &plan);
    }
}

/* The photos of a set: so many of one grade, from a number on. */
struct batch {
    int grade, first, count, treatment;
};

static void render_accuracy(const char *directory, const struct batch *batch)
{
    const char *treatment = treatment_label(batch->treatment);

    for (int number = batch->first; number < batch->first + batch->count; number++) {
        struct plan plan = plan_draw((enum grade)batch->grade, number);
        char name[64];

        plan_treat(&plan, (enum treatment)batch->treatment, number);
        snprintf(name, sizeof name, "%s-%s%s%03d", grade_label(batch->grade), treatment,
                 *treatment ? "-" : "", number);
        render(directory, name, &plan);
    }
}

/* Named by grade, number and item. */
static void render_location(const char *directory, const struct batch *batch)
{
    for (int number = batch->first; number < batch->first + batch->count; number++) {
        int item = location_item(number);
        struct plan plan = location_draw((enum grade)batch->grade, number, item);
        char name[64];

        snprintf(name, sizeof name, "%s-%03d-%s", grade_label(batch->grade), number,
                 item_label(item));
        render(directory, name, &plan);
    }
}

/* One of the sets, all of its grades or one. */
static void render_set(void (*render_grade)(const char *, const struct batch *),
                       const char *directory, int argc, char **argv)
{
    struct batch batch = {-1, 1, 4, TREATMENT_PLAIN};
    int grade;

    for (int i = 0; i < argc; i += 2) {
        if (i + 1 < argc && !strcmp(argv[i], "--grade"))
            batch.grade = option_grade(argv[i + 1]);
        else if (i + 1 < argc && !strcmp(argv[i], "--first"))
            batch.first = atoi(argv[i + 1]);
        else if (i + 1 < argc && !strcmp(argv[i], "--count"))
            batch.count = atoi(argv[i + 1]);
        else if (i + 1 < argc && !strcmp(argv[i], "--treatment"))
            batch.treatment = option_treatment(argv[i + 1]);
        else
            fail("a set takes --grade, --first, --count and --treatment, each with a value, not "
                 "'%s'",
                 argv[i]);
    }
    grade = batch.grade;
    for (batch.grade = GRADE_EVEN; batch.grade <= GRADE_HARD; batch.grade++)
        if (grade < 0 || batch.grade == grade)
            render_grade(directory, &batch);
}

/* DIRECTORY/NAME is given as one path; the options change a drawn plan. */
static void plain(const char *path, int argc, char **argv)
{
    const char *slash = strrchr(path, '/');
    char directory[4096] = ".";
    struct plan plan = options_plan(argc, argv);

    if (slash)
        snprintf(directory, sizeof directory, "%.*s", (int)(slash - path), path);
    render(directory, slash ? slash + 1 : path, &plan);
}

static void usage(void)
{
    fputs("usage: scene testimages DIRECTORY\n"
          "       scene accuracy DIRECTORY [--grade even|ordinary|hard] [--first N] [--count N]\n"
          "                      [--treatment plain|look|phone]\n"
          "       scene location DIRECTORY [--grade even|ordinary|hard] [--first N] [--count N]\n"
          "       scene plain DIRECTORY/NAME [OPTION VALUE]...\n"
          "Renders photos with what is true of them beside: NAME.jpg or NAME.png,\n"
          "NAME.truth.csv and NAME.names.csv. Options of plain, over a drawn plan:\n",
          stdout);
    options_print();
}

int main(int argc, char **argv)
{
    if (argc >= 3 && !strcmp(argv[1], "testimages"))
        render_testimages(argv[2]);
    else if (argc >= 3 && !strcmp(argv[1], "accuracy"))
        render_set(render_accuracy, argv[2], argc - 3, argv + 3);
    else if (argc >= 3 && !strcmp(argv[1], "location"))
        render_set(render_location, argv[2], argc - 3, argv + 3);
    else if (argc >= 3 && !strcmp(argv[1], "plain") && argv[2][0] != '-')
        plain(argv[2], argc - 3, argv + 3);
    else
        usage();
    return argc >= 3 || (argc == 2 && !strcmp(argv[1], "--help")) ? 0 : 1;
}
