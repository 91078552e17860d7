#include "scene.h"

#include "base/memory.h"

#include <stdlib.h>
#include <string.h>

/* Where the curve is evaluated: a smooth curve is straight in between to a hundredth of a code. */
#define TONE_KNOTS 1024

/* Tables from encoded sample to scene-linear light: the photo's own, tone undone. Evaluated at
 * knots, straight in between: the curves are smooth. */
static void undo_tone(const struct photo *photo, const struct correction *correction,
                      float *scene_linear)
{
    for (int k = 0; k < IMAGE_CHANNELS; k++) {
        float *table = scene_linear + ((size_t)k << 16);
        const int step = (IMAGE_SAMPLE_MAX + 1) / TONE_KNOTS;
        double here = correction_tone(correction, k, photo_linear(photo, k, 0));

        for (int i = 0; i < TONE_KNOTS; i++) {
            int end = (i + 1) * step < IMAGE_SAMPLE_MAX ? (i + 1) * step : IMAGE_SAMPLE_MAX;
            double next = correction_tone(correction, k, photo_linear(photo, k, (uint16_t)end));

            for (int j = 0; j < step; j++)
                table[i * step + j] = (float)(here + (next - here) * j / step);
            here = next;
        }
        table[IMAGE_SAMPLE_MAX] = (float)here;
    }
}

struct rgb scene_divided(struct rgb rgb, struct rgb light)
{
    for (int k = 0; k < 3; k++)
        rgb.channel[k] /= light.channel[k];
    return rgb;
}

/* Paper samples were taken before the tone was known; undo it on their means: paper is even. */
static struct rgb over_paper(const struct correction *correction, const struct area_sample *sample)
{
    struct rgb rgb;

    for (int k = 0; k < 3; k++)
        rgb.channel[k] = correction_tone(correction, k, sample->rgb_linear.channel[k]);
    return scene_divided(rgb, correction_paper_at(correction, sample->at));
}

static enum status fill(struct scene *scene, const struct photo *photo, struct error *error)
{
    const struct paper *paper = &scene->paper;

    scene->photo.linear_from_sample = memory_array(
        (size_t)IMAGE_CHANNELS << 16, sizeof *scene->photo.linear_from_sample, "tables", error);
    scene->paper_rgb =
        memory_array(paper->count + paper->lit_count, sizeof *scene->paper_rgb, "paper", error);
    if (!scene->photo.linear_from_sample || !scene->paper_rgb)
        return error->status;
    scene->lit_rgb = scene->paper_rgb + paper->count;
    undo_tone(photo, scene->correction, scene->photo.linear_from_sample);
    for (size_t i = 0; i < paper->count; i++)
        scene->paper_rgb[i] = over_paper(scene->correction, &paper->samples[i]);
    for (size_t i = 0; i < paper->lit_count; i++)
        scene->lit_rgb[i] = over_paper(scene->correction, &paper->lit[i]);
    return STATUS_OK;
}

enum status scene_create(const struct photo *photo, const struct correction *correction,
                         struct paper *paper, struct scene **scene, struct error *error)
{
    *scene = memory_array(1, sizeof **scene, "the photo's tone", error);
    if (!*scene)
        return error->status;
    **scene = (struct scene){.photo = *photo, .correction = correction, .paper = *paper};
    memset(paper, 0, sizeof *paper);
    (*scene)->paper_colour = correction_paper(correction);
    return fill(*scene, photo, error);
}

void scene_release(struct scene *scene)
{
    if (!scene)
        return;
    paper_release(&scene->paper);
    free(scene->photo.linear_from_sample);
    free(scene->paper_rgb);
    free(scene);
}

struct lab scene_lab(const struct scene *scene, struct rgb rgb)
{
    struct lab lab;

    correction_lab(scene->correction, &rgb, 1, &lab);
    return lab;
}
