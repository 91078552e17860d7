#include "accuracy/simulation.h"

#include "accuracy/card_spectra.h"
#include "accuracy/look.h"
#include "card_values.h"
#include "scene/smooth.h"
#include "values/linear.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#define TUNGSTEN SIMULATION_DAYLIGHTS
#define TABULATED 9 /* lights that are read, not made */
#define LEDS_FROM 11
#define PATCH_STRUCTURE 0.16     /* logits */
#define NEUTRAL_STRUCTURE 0.1875 /* of the others' */
#define TRAINING 40 /* reflectances the camera's maker is taken to have built its matrix on */

struct camera {
    struct spectrum channel[3]; /* sensitivity times light, white balanced */
    double matrix[9];           /* to linear sRGB, as the maker built it */
    double contrast;            /* of the S-curve */
    double flare;
    double gain;
    bool has_look;
    struct look look;
};

/* The light over the scene: log gain of the first light as a smooth hill, share of the second. */
struct scene_light {
    double fall, fall_x, fall_y, radius;
    double mix, mix_x, mix_y;
};

/* --- surfaces --- */

static struct lab lab_of(const struct observer *observer, const struct spectrum *reflectance)
{
    double lab[3];

    observer_lab(observer, reflectance, lab);
    return (struct lab){lab[0], lab[1], lab[2]};
}

static double bump(double nm, double centre, double width)
{
    return exp(-0.5 * (nm - centre) * (nm - centre) / (width * width));
}

/* What a dye absorbs at its peak's 1: a band, or all below an edge, as yellows to reds do. */
static double dye_absorption(double nm, double centre, double width, double tail, bool edge)
{
    if (edge)
        return 1 / (1 + exp((nm - centre) / (0.2 * width)));
    return bump(nm, centre, nm > centre ? tail * width : width);
}

/* Ink as one to three dyes over paper, on a weak background. */
static struct spectrum random_ink(struct random *random)
{
    int dyes = 1 + (int)random_uniform(random, 0, 2.99);
    double black = random_uniform(random, 0, 1) < 0.3 ? random_uniform(random, 0, 1.2) : 0;
    struct spectrum ink;

    for (int i = 0; i < BANDS; i++)
        ink.at[i] = 0.03 + black;
    for (int k = 0; k < dyes; k++) {
        bool edge = random_uniform(random, 0, 1) < 0.3;
        double centre = edge ? random_uniform(random, 420, 620) : random_uniform(random, 390, 680);
        double width = random_uniform(random, 35, 90);
        double tail = random_uniform(random, 0.5, 1.4);
        double strength = exp(random_uniform(random, log(0.08), log(2.2)));

        for (int i = 0; i < BANDS; i++)
            ink.at[i] +=
                strength * (0.06 + dye_absorption(spectrum_nm(i), centre, width, tail, edge));
    }
    for (int i = 0; i < BANDS; i++)
        ink.at[i] = 0.025 + 0.86 * exp(-ink.at[i]);
    return ink;
}

/* A pigment: soft bands on the logit scale, from pastel to deep. */
static struct spectrum random_pigment(struct random *random)
{
    double level = random_uniform(random, -2.6, 1.6), amount = random_uniform(random, 0.1, 1.8);
    struct spectrum pigment;

    for (int i = 0; i < BANDS; i++)
        pigment.at[i] = level;
    for (int k = 0; k < 4; k++) {
        bool edge = random_uniform(random, 0, 1) < 0.4;
        double centre = random_uniform(random, 390, 690);
        double width = random_uniform(random, 25, 90);
        double height = amount * random_normal(random);

        for (int i = 0; i < BANDS; i++)
            pigment.at[i] += height * dye_absorption(spectrum_nm(i), centre, width, 1, edge);
    }
    for (int i = 0; i < BANDS; i++)
        pigment.at[i] = 0.02 + 0.93 / (1 + exp(-pigment.at[i]));
    return pigment;
}

/* Paper: a little less blue, as without brightener. */
static struct spectrum paper_spectrum(double yellowness)
{
    struct spectrum paper;

    for (int i = 0; i < BANDS; i++) {
        double nm = spectrum_nm(i);

        paper.at[i] = 0.89 * (1 - yellowness / (1 + exp((nm - 440) / 25)));
    }
    return paper;
}

/* A patch's spectrum on the logit scale, changed by a few soft bands: cards and their editions
 * differ, also where their colours are the same. */
static struct spectrum pigment_shape(struct random *random, int patch, double amount)
{
    struct spectrum shape = card_spectrum(patch);

    for (int i = 0; i < BANDS; i++)
        shape.at[i] = log(shape.at[i] / (1 - shape.at[i]));
    for (int k = 0; k < 4; k++) {
        double centre = random_uniform(random, 380, 730);
        double width = random_uniform(random, 25, 50);
        double height = amount * random_normal(random);

        for (int i = 0; i < BANDS; i++)
            shape.at[i] += height * bump(spectrum_nm(i), centre, width);
    }
    return shape;
}

void simulation_draw_cards(struct simulation_world *world, struct random *random, double structure)
{
    for (int k = 0; k < SIMULATION_CARDS; k++)
        for (int i = 0; i < CARD_PATCHES; i++) {
            bool neutral = i >= CARD_FIRST_NEUTRAL;
            struct lab lab = world->card.patch[i];
            struct spectrum shape =
                pigment_shape(random, i, structure * (neutral ? NEUTRAL_STRUCTURE : 1));

            world->patch[k][i] =
                smooth_reflectance(&world->observer, (double[3]){lab.L, lab.a, lab.b}, &shape);
        }
}

/* --- lights --- */

/* Source: Planck's law, its second radiation constant as CIE 015:2018 has it. */
static struct spectrum glowing_wire(double kelvin)
{
    struct spectrum light;

    for (int i = 0; i < BANDS; i++) {
        double nm = spectrum_nm(i);

        light.at[i] = pow(nm / 560, -5) / (exp(1.4388e7 / (nm * kelvin)) - 1);
    }
    return light;
}

/* A blue diode behind a phosphor: invented, of the usual shape. */
static struct spectrum led(double blue_nm, double blue, double phosphor_nm, double width_nm)
{
    struct spectrum light;

    for (int i = 0; i < BANDS; i++) {
        double nm = spectrum_nm(i);

        light.at[i] = blue * bump(nm, blue_nm, 10) +
                      bump(nm, phosphor_nm, nm > phosphor_nm ? 1.3 * width_nm : width_nm);
    }
    return light;
}

static void load_lights(struct simulation_world *world)
{
    static const char *const tabulated[TABULATED] = {"D50", "D55", "D65", "A",  "F2",
                                                     "F7",  "F8",  "F11", "F12"};

    for (int i = 0; i < TABULATED; i++)
        world->light[i] = illuminant_load(tabulated[i]);
    world->light[TABULATED] = glowing_wire(2700);
    world->light[TABULATED + 1] = glowing_wire(3200);
    world->light[LEDS_FROM] = led(452, 0.9, 560, 48);
    world->light[LEDS_FROM + 1] = led(450, 0.6, 600, 55);
    world->light[LEDS_FROM + 2] = led(455, 1.2, 540, 45);
}

void simulation_world_create(struct simulation_world *world)
{
    struct random random = {2};

    world->observer = observer_load();
    load_lights(world);
    world->card = card_values();
    simulation_draw_cards(world, &random, PATCH_STRUCTURE);
}

/* --- camera --- */

static void random_sensitivities(struct random *random, struct spectrum channel[3])
{
    static const double centre[3] = {602, 532, 458};
    static const double width[3] = {32, 40, 34};
    static const double side_centre[3] = {535, 470, 535};
    static const double side_height[3] = {0.14, 0.12, 0.05};

    for (int k = 0; k < 3; k++) {
        double c = centre[k] + 5 * random_normal(random);
        double w = width[k] * exp(0.12 * random_normal(random));
        double skew = random_uniform(random, 0.75, 1.35);
        double side = side_height[k] * random_uniform(random, 0.2, 1.8);
        double side_c = side_centre[k] + 8 * random_normal(random);

        for (int i = 0; i < BANDS; i++) {
            double nm = spectrum_nm(i);
            double window = 1 / (1 + exp((nm - 665) / 9)) / (1 + exp((408 - nm) / 6));

            channel[k].at[i] =
                (bump(nm, c, nm > c ? w * skew : w) + side * bump(nm, side_c, 28)) * window;
        }
    }
}

static struct rgb respond(const struct spectrum channel[3], const struct spectrum *reflectance)
{
    struct rgb rgb;

    for (int k = 0; k < 3; k++)
        rgb.channel[k] = spectrum_dot(&channel[k], reflectance);
    return rgb;
}

static struct rgb transform(const double matrix[9], struct rgb in)
{
    struct rgb out;

    for (int k = 0; k < 3; k++)
        out.channel[k] = matrix[3 * k] * in.channel[0] + matrix[3 * k + 1] * in.channel[1] +
                         matrix[3 * k + 2] * in.channel[2];
    return out;
}

/* D50 XYZ to linear sRGB. Source: IEC 61966-2-1 with the Bradford adaptation, from memory. */
static const double srgb_from_xyz[9] = {3.1338561, -1.6168667, -0.4906146, -0.9787684, 1.9161415,
                                        0.0334540, 0.0719453,  -0.2289914, 1.4052427};

/* The maker's matrix: least squares over its own training inks, half way left undone. */
static enum status maker_matrix(const struct simulation_world *world, struct random *random,
                                struct camera *camera, struct error *error)
{
    double design[TRAINING * 3], target[TRAINING * 3], solution[9];
    struct linear_problem problem = {design, target, NULL, NULL, TRAINING, 3, 3};
    enum status status;

    for (int i = 0; i < TRAINING; i++) {
        struct spectrum ink = random_ink(random);
        struct xyz xyz = colour_xyz_from_lab(lab_of(&world->observer, &ink));
        struct rgb wanted = transform(srgb_from_xyz, (struct rgb){{xyz.X, xyz.Y, xyz.Z}});

        memcpy(design + 3 * i, respond(camera->channel, &ink).channel, 3 * sizeof *design);
        memcpy(target + 3 * i, wanted.channel, 3 * sizeof *target);
    }
    status = linear_least_squares(&problem, solution, error);
    for (int k = 0; !status && k < 3; k++)
        for (int j = 0; j < 3; j++)
            camera->matrix[3 * k + j] = solution[3 * j + k] * (1 + 0.06 * random_normal(random));
    return status;
}

/* The share of the light's cast, seen from daylight, that a balance leaves in. */
static void leave_cast(struct camera *camera, const struct rgb *cast, double left)
{
    for (int k = 0; k < 3; k++)
        for (int i = 0; i < BANDS; i++)
            camera->channel[k].at[i] *= pow(cast->channel[k] / cast->channel[1], left);
}

/* Balance white; returns the cast that the light had. */
static struct rgb balance(struct camera *camera, const struct spectrum *light,
                          struct random *random)
{
    struct spectrum white;
    struct rgb equal, response, cast;

    for (int i = 0; i < BANDS; i++)
        white.at[i] = 1;
    equal = respond(camera->channel, &white);
    for (int k = 0; k < 3; k++)
        for (int i = 0; i < BANDS; i++)
            camera->channel[k].at[i] *= light->at[i];
    response = respond(camera->channel, &white);
    for (int k = 0; k < 3; k++) {
        double error = exp(0.03 * random_normal(random));

        cast.channel[k] = response.channel[k] / equal.channel[k];
        for (int i = 0; i < BANDS; i++)
            camera->channel[k].at[i] *= error / response.channel[k];
    }
    return cast;
}

static double encode(double linear)
{
    return linear <= 0.0031308 ? 12.92 * linear : 1.055 * pow(linear, 1 / 2.4) - 0.055;
}

static double decode(double encoded)
{
    return encoded <= 0.04045 ? encoded / 12.92 : pow((encoded + 0.055) / 1.055, 2.4);
}

/* Highlights lifted, shadows sunk, in the encoded domain; monotone for contrast below 1. */
static double s_curve(double encoded, double contrast)
{
    return encoded - contrast * sin(6.283185307179586 * encoded) / 6.283185307179586;
}

struct shot {
    const struct simulation_world *world;
    struct camera camera;
    struct spectrum second_channel[3];
    struct scene_light light;
    bool raw;
    double noise;
    double surround; /* luminance around the surface, of white's 1 */
    struct random *random;
};

static double light_gain(const struct scene_light *light, struct point at)
{
    double dx = (at.x - light->fall_x) / light->radius, dy = (at.y - light->fall_y) / light->radius;

    return pow(1 + dx * dx + dy * dy, -1.5);
}

static double light_share(const struct scene_light *light, struct point at)
{
    double along = light->mix_x * at.x + light->mix_y * at.y;

    return light->mix / (1 + exp(-along * 3));
}

/* Linear maker-sRGB light of a surface at a place, before flare, tone and noise. */
static struct rgb expose(const struct shot *shot, const struct spectrum *surface, struct point at)
{
    double gain = shot->camera.gain * light_gain(&shot->light, at);
    double share = light_share(&shot->light, at);
    struct rgb first = respond(shot->camera.channel, surface);
    struct rgb second = respond(shot->second_channel, surface);

    for (int k = 0; k < 3; k++)
        first.channel[k] = gain * ((1 - share) * first.channel[k] + share * second.channel[k]);
    return transform(shot->camera.matrix, first);
}

/* As a camera with a look writes it. */
static struct area_sample develop(struct shot *shot, struct rgb linear, struct point at)
{
    struct area_sample sample = {.pixels = 400, .kept = 400};

    sample.at = (struct point){1000 * at.x, 1000 * at.y};
    sample.rgb_linear = look_apply(&shot->camera.look, linear, shot->surround, shot->random);
    for (int k = 0; k < 3; k++) {
        double *v = &sample.rgb_linear.channel[k];

        *v = fmax(*v * (1 + shot->noise / 20 * random_normal(shot->random)), 0);
        if (*v <= 0.0003 || *v >= 0.99)
            sample.clipped = 1;
        sample.deviation_linear.channel[k] = shot->noise * (0.3 + *v);
    }
    return sample;
}

static struct area_sample record(struct shot *shot, const struct spectrum *surface, struct point at)
{
    struct area_sample sample = {.pixels = 400, .kept = 400};
    struct rgb linear = expose(shot, surface, at);

    if (shot->camera.has_look)
        return develop(shot, linear, at);

    sample.at = (struct point){1000 * at.x, 1000 * at.y};
    for (int k = 0; k < 3; k++) {
        double v = linear.channel[k] + shot->camera.flare * shot->camera.gain;
        double encoded = s_curve(encode(fmin(fmax(v, 0), 1)), shot->camera.contrast);

        encoded += shot->noise * random_normal(shot->random) / 20;
        if (v <= 0.0008 || v >= 0.99)
            sample.clipped = 1;
        sample.rgb_linear.channel[k] = fmin(fmax(decode(encoded), 0), 1);
        sample.deviation_linear.channel[k] = shot->noise * (0.3 + sample.rgb_linear.channel[k]);
    }
    return sample;
}

/* --- scene: the sheet over (0..1, 0..1.3), the card to its right or below --- */

/* The camera's channels under the second light, at the same illuminance as the first. */
static void relight(struct shot *shot, const struct spectrum *light)
{
    const struct spectrum *second = &shot->world->light[TUNGSTEN];
    const struct spectrum *eye = &shot->world->observer.matching[1];
    double level = spectrum_dot(eye, light) / spectrum_dot(eye, second);

    for (int k = 0; k < 3; k++)
        for (int i = 0; i < BANDS; i++)
            shot->second_channel[k].at[i] =
                shot->camera.channel[k].at[i] * level * second->at[i] / light->at[i];
}

/* Daylight and lamps in turns. */
static int any_light(struct random *random)
{
    return (int)(random_uniform(random, 0, 1) < 0.4
                     ? random_uniform(random, 0, SIMULATION_DAYLIGHTS - 0.01)
                     : random_uniform(random, SIMULATION_DAYLIGHTS, SIMULATION_LIGHTS - 0.01));
}

/* Some makers brighten colours, and some write a wider space than sRGB. Source of the second:
 * linear sRGB to Display P3, both D65, from memory. */
static void change_space(struct camera *camera, struct random *random)
{
    static const double p3_from_srgb[9] = {0.822462, 0.177538, 0,        0.033194, 0.966806,
                                           0,        0.017083, 0.072397, 0.910520};
    double saturation = random_uniform(random, 1, 1.09), changed[9];
    double rest = 1 - saturation;
    const double brighten[9] = {
        saturation + 0.2126 * rest, 0.7152 * rest, 0.0722 * rest, 0.2126 * rest,
        saturation + 0.7152 * rest, 0.0722 * rest, 0.2126 * rest, 0.7152 * rest,
        saturation + 0.0722 * rest};

    if (random_uniform(random, 0, 1) < 0.3)
        linear_multiply_3x3(p3_from_srgb, camera->matrix, changed);
    else
        memcpy(changed, camera->matrix, sizeof changed);
    linear_multiply_3x3(brighten, changed, camera->matrix);
}

static void prepare(struct shot *shot, enum simulation_grade grade)
{
    struct random *random = shot->random;
    static const double identity[9] = {1, 0, 0, 0, 1, 0, 0, 0, 1};
    struct error ignored;
    struct rgb cast;
    double left;
    bool learning = grade >= SIMULATION_LEARNING_PLAIN;
    bool clean = learning || grade == SIMULATION_CLEAN;
    bool raw = grade == SIMULATION_RAW || grade == SIMULATION_LEARNING_RAW;
    bool looks =
        grade == SIMULATION_LEARNING_LOOK || grade == SIMULATION_LOOK || grade == SIMULATION_PHONE;
    bool even = grade != SIMULATION_ORDINARY && (learning || !looks);
    const struct spectrum *light =
        &shot->world->light[learning ? any_light(random) : (int)random_uniform(random, 0, 2.99)];

    random_sensitivities(random, shot->camera.channel);
    left = looks && random_uniform(random, 0, 1) < 0.3 ? random_uniform(random, 0, 0.8) : 0;
    cast = balance(&shot->camera, light, random);
    if (maker_matrix(shot->world, random, &shot->camera, &ignored))
        memset(shot->camera.matrix, 0, sizeof shot->camera.matrix);
    if (left > 0)
        leave_cast(&shot->camera, &cast, left);
    if (raw)
        memcpy(shot->camera.matrix, identity, sizeof identity);
    else if (learning)
        change_space(&shot->camera, random);
    shot->camera.contrast = even ? 0 : random_uniform(random, 0.1, 0.35);
    shot->camera.flare = even ? 0 : random_uniform(random, 0, 0.006);
    shot->light.radius = clean ? 1e6 : even ? 12 : random_uniform(random, 2.4, 3.2);
    shot->light.fall_x = random_uniform(random, -0.4, 1.8);
    shot->light.fall_y = random_uniform(random, -0.4, 1.6);
    shot->light.mix = even ? 0 : 0.2;
    shot->light.mix_x = random_uniform(random, -1, 1);
    shot->light.mix_y = random_uniform(random, -1, 1);
    shot->noise = clean ? 0 : even ? 0.004 : 0.02;
    if (looks) {
        double strength = random_uniform(random, 0, 1.5);

        shot->camera.has_look = true;
        shot->camera.look = look_draw(random, strength);
        if (grade == SIMULATION_PHONE || (learning && random_uniform(random, 0, 1) < 0.2))
            shot->camera.look.local = random_uniform(random, 0, 0.12);
    }
    shot->raw = raw;
    relight(shot, light);
}

/* Exposed so that the brightest of card and paper stays below the top. */
static void set_exposure(struct shot *shot, const struct spectrum *white, struct point card_centre)
{
    static const struct point places[5] = {{0, 0}, {1, 0}, {0, 1.3}, {1, 1.3}, {0.5, 0.65}};
    double highest = 0;

    shot->camera.gain = 1;
    for (int i = 0; i < 6; i++) {
        struct rgb rgb = expose(shot, white, i < 5 ? places[i] : card_centre);

        for (int k = 0; k < 3; k++)
            highest = fmax(highest, rgb.channel[k]);
    }
    shot->camera.gain = random_uniform(shot->random, 0.6, 0.92) / highest;
}

static void take_card(struct shot *shot, const struct spectrum *patches, struct point centre,
                      struct simulation_photo *photo)
{
    photo->input.card = &shot->world->card;
    photo->input.raw = shot->raw;
    shot->surround = 0.15;
    for (int i = 0; i < CARD_PATCHES; i++) {
        struct point at = {centre.x + 0.085 * (i % CARD_COLUMNS - 2.5),
                           centre.y + 0.085 * (i / CARD_COLUMNS - 1.5)};

        photo->input.patch[i] = record(shot, &patches[i], at);
        photo->input.use_patch[i] = photo->input.patch[i].clipped < 0.02;
    }
}

static void take_sheet(struct shot *shot, const struct spectrum *paper,
                       struct simulation_photo *photo)
{
    shot->surround = 0.6;
    for (int i = 0; i < SIMULATION_PAPERS; i++) {
        struct point at = {(i % 9) / 8.0, 1.3 * (i / 9) / 10.0};

        photo->paper[i] = record(shot, paper, at);
    }
    photo->input.paper = photo->paper;
    photo->input.paper_count = SIMULATION_PAPERS;
    for (int i = 0; i < SIMULATION_CELLS; i++) {
        struct point at = {(i % 8 + 0.5) / 8.0, 1.3 * (i / 8 + 0.5) / 10.0};
        struct spectrum ink = i % 3 ? random_ink(shot->random) : random_pigment(shot->random);

        for (int j = 0; j < BANDS; j++)
            ink.at[j] *= paper->at[j] / 0.89;
        photo->truth[i] = lab_of(&shot->world->observer, &ink);
        photo->cell[i] = record(shot, &ink, at);
        photo->cell_clipped[i] = photo->cell[i].clipped > 0.02;
    }
}

void simulation_take(const struct simulation_world *world, enum simulation_grade grade,
                     uint64_t seed, struct simulation_photo *photo)
{
    struct random random = {seed * 0x100000001B3u + 77};
    struct shot shot = {.world = world, .random = &random};
    const struct spectrum *patches = world->patch[seed % SIMULATION_CARDS];
    struct point centre = seed / 4 % 2 ? (struct point){1.35, 0.5} : (struct point){0.5, 1.6};
    struct spectrum paper;

    memset(photo, 0, sizeof *photo);
    prepare(&shot, grade);
    paper = paper_spectrum(random_uniform(&random, 0, 0.15));
    set_exposure(&shot, &paper, centre);
    take_card(&shot, patches, centre, photo);
    take_sheet(&shot, &paper, photo);
}

int simulation_patches(const struct simulation_photo *photo,
                       struct colour_patch patches[CARD_PATCHES])
{
    int count = 0;

    for (int i = 0; i < CARD_PATCHES; i++)
        if (photo->input.use_patch[i])
            patches[count++] =
                (struct colour_patch){.scene_linear = photo->input.patch[i].rgb_linear,
                                      .lab = photo->input.card->patch[i],
                                      .weight = 1,
                                      .neutral = photo->input.card->neutral[i]};
    return count;
}
