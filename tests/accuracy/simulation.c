#include "accuracy/simulation.h"

#include "card_values.h"
#include "values/linear.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#define ILLUMINANTS "/usr/share/colord/illuminant/"
#define TUNGSTEN SIMULATION_DAYLIGHTS
#define TABULATED 9 /* lights that are read, not made */
#define LEDS_FROM 11
#define PATCH_STRUCTURE 0.08     /* half logits */
#define NEUTRAL_STRUCTURE 0.1875 /* of the others' */
#define TRAINING 40 /* reflectances the camera's maker is taken to have built its matrix on */

struct camera {
    struct spectrum channel[3]; /* sensitivity times light, white balanced */
    double matrix[9];           /* to linear sRGB, as the maker built it */
    double contrast;            /* of the S-curve */
    double flare;
    double gain;
};

/* The light over the scene: log gain of the first light as a smooth hill, share of the second. */
struct scene_light {
    double fall, fall_x, fall_y, radius;
    double mix, mix_x, mix_y;
};

/* --- surfaces --- */

static double bump(double nm, double centre, double width)
{
    return exp(-0.5 * (nm - centre) * (nm - centre) / (width * width));
}

/* Ink as one to three dyes over paper: absorption bands, steeper on the long side, on a weak
 * background. */
static struct spectrum random_ink(struct random *random)
{
    int dyes = 1 + (int)random_uniform(random, 0, 2.99);
    double black = random_uniform(random, 0, 1) < 0.3 ? random_uniform(random, 0, 1.2) : 0;
    struct spectrum ink;

    for (int i = 0; i < SPECTRUM_BANDS; i++)
        ink.band[i] = 0.03 + black;
    for (int k = 0; k < dyes; k++) {
        double centre = random_uniform(random, 390, 680);
        double width = random_uniform(random, 45, 85);
        double tail = random_uniform(random, 0.5, 0.9);
        double strength = exp(random_uniform(random, log(0.08), log(2.2)));

        for (int i = 0; i < SPECTRUM_BANDS; i++) {
            double nm = SPECTRUM_FIRST_NM + i * SPECTRUM_STEP_NM;

            ink.band[i] += strength * (0.06 + bump(nm, centre, nm > centre ? tail * width : width));
        }
    }
    for (int i = 0; i < SPECTRUM_BANDS; i++)
        ink.band[i] = 0.025 + 0.86 * exp(-ink.band[i]);
    return ink;
}

/* Paper: a little less blue, as without brightener. */
static struct spectrum paper_spectrum(double yellowness)
{
    struct spectrum paper;

    for (int i = 0; i < SPECTRUM_BANDS; i++) {
        double nm = SPECTRUM_FIRST_NM + i * SPECTRUM_STEP_NM;

        paper.band[i] = 0.89 * (1 - yellowness / (1 + exp((nm - 440) / 25)));
    }
    return paper;
}

/* The structure that a pigment adds to the smoothest spectrum of its colour, in half logits: a
 * few soft bands, and the white pigment's edge in the violet. */
static struct spectrum pigment_shape(struct random *random, double amount)
{
    struct spectrum shape;

    for (int i = 0; i < SPECTRUM_BANDS; i++)
        shape.band[i] = -0.8 / (1 + exp((SPECTRUM_FIRST_NM + i * SPECTRUM_STEP_NM - 402) / 7.0));
    for (int k = 0; k < 4; k++) {
        double centre = random_uniform(random, 380, 730);
        double width = random_uniform(random, 25, 50);
        double height = amount * random_normal(random);

        for (int i = 0; i < SPECTRUM_BANDS; i++)
            shape.band[i] += height * bump(SPECTRUM_FIRST_NM + i * SPECTRUM_STEP_NM, centre, width);
    }
    return shape;
}

enum status simulation_draw_cards(struct simulation_world *world, struct random *random,
                                  double structure, struct error *error)
{
    enum status status = STATUS_OK;

    for (int k = 0; k < SIMULATION_CARDS; k++)
        for (int i = 0; !status && i < CARD_PATCHES; i++) {
            bool neutral = i >= CARD_FIRST_NEUTRAL;
            struct spectrum shape =
                pigment_shape(random, structure * (neutral ? NEUTRAL_STRUCTURE : 1));

            status = observer_reflectance(&world->observer, world->card.patch[i], &shape,
                                          &world->patch[k][i], error);
        }
    return status;
}

/* --- lights --- */

/* Source: Planck's law, its second radiation constant as CIE 015:2018 has it. */
static struct spectrum glowing_wire(double kelvin)
{
    struct spectrum light;

    for (int i = 0; i < SPECTRUM_BANDS; i++) {
        double nm = SPECTRUM_FIRST_NM + i * SPECTRUM_STEP_NM;

        light.band[i] = pow(nm / 560, -5) / (exp(1.4388e7 / (nm * kelvin)) - 1);
    }
    return light;
}

/* A blue diode behind a phosphor: invented, of the usual shape. */
static struct spectrum led(double blue_nm, double blue, double phosphor_nm, double width_nm)
{
    struct spectrum light;

    for (int i = 0; i < SPECTRUM_BANDS; i++) {
        double nm = SPECTRUM_FIRST_NM + i * SPECTRUM_STEP_NM;

        light.band[i] = blue * bump(nm, blue_nm, 10) +
                        bump(nm, phosphor_nm, nm > phosphor_nm ? 1.3 * width_nm : width_nm);
    }
    return light;
}

static enum status read_lights(struct simulation_world *world, struct error *error)
{
    static const char *const tabulated[TABULATED] = {"D50", "D55", "D65", "A",  "F2",
                                                     "F7",  "F8",  "F11", "F12"};
    enum status status = STATUS_OK;
    char path[128];

    for (int i = 0; !status && i < TABULATED; i++) {
        snprintf(path, sizeof path, ILLUMINANTS "CIE-%s.sp", tabulated[i]);
        status = spectra_read(path, &world->light[i], 1, error);
    }
    world->light[TABULATED] = glowing_wire(2700);
    world->light[TABULATED + 1] = glowing_wire(3200);
    world->light[LEDS_FROM] = led(452, 0.9, 560, 48);
    world->light[LEDS_FROM + 1] = led(450, 0.6, 600, 55);
    world->light[LEDS_FROM + 2] = led(455, 1.2, 540, 45);
    return status;
}

enum status simulation_world_create(struct simulation_world *world, struct error *error)
{
    struct random random = {2};
    enum status status = observer_read(&world->observer, error);

    if (!status)
        status = read_lights(world, error);
    world->card = card_values();
    if (!status)
        status = simulation_draw_cards(world, &random, PATCH_STRUCTURE, error);
    return status;
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

        for (int i = 0; i < SPECTRUM_BANDS; i++) {
            double nm = SPECTRUM_FIRST_NM + i * SPECTRUM_STEP_NM;
            double window = 1 / (1 + exp((nm - 665) / 9)) / (1 + exp((408 - nm) / 6));

            channel[k].band[i] =
                (bump(nm, c, nm > c ? w * skew : w) + side * bump(nm, side_c, 28)) * window;
        }
    }
}

static struct rgb respond(const struct spectrum channel[3], const struct spectrum *reflectance)
{
    struct rgb rgb = {{0, 0, 0}};

    for (int k = 0; k < 3; k++)
        for (int i = 0; i < SPECTRUM_BANDS; i++)
            rgb.channel[k] += channel[k].band[i] * reflectance->band[i];
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
        struct xyz xyz = colour_xyz_from_lab(observer_lab(&world->observer, &ink));
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

static void balance(struct camera *camera, const struct spectrum *light, struct random *random)
{
    struct spectrum white;
    struct rgb response;

    for (int i = 0; i < SPECTRUM_BANDS; i++) {
        white.band[i] = 1;
        for (int k = 0; k < 3; k++)
            camera->channel[k].band[i] *= light->band[i];
    }
    response = respond(camera->channel, &white);
    for (int k = 0; k < 3; k++) {
        double error = exp(0.03 * random_normal(random));

        for (int i = 0; i < SPECTRUM_BANDS; i++)
            camera->channel[k].band[i] *= error / response.channel[k];
    }
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
    double noise;
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

static struct area_sample record(struct shot *shot, const struct spectrum *surface, struct point at)
{
    struct area_sample sample = {.pixels = 400, .kept = 400};
    struct rgb linear = expose(shot, surface, at);

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

static double luminance(const struct observer *observer, const struct spectrum *light)
{
    double sum = 0;

    for (int i = 0; i < SPECTRUM_BANDS; i++)
        sum += observer->matching[1].band[i] * light->band[i];
    return sum;
}

/* The camera's channels under the second light, at the same illuminance as the first. */
static void relight(struct shot *shot, const struct spectrum *light)
{
    const struct spectrum *second = &shot->world->light[TUNGSTEN];
    double level =
        luminance(&shot->world->observer, light) / luminance(&shot->world->observer, second);

    for (int k = 0; k < 3; k++)
        for (int i = 0; i < SPECTRUM_BANDS; i++)
            shot->second_channel[k].band[i] =
                shot->camera.channel[k].band[i] * level * second->band[i] / light->band[i];
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
    struct error ignored;
    bool learning = grade == SIMULATION_LEARNING, clean = learning || grade == SIMULATION_CLEAN;
    bool even = grade != SIMULATION_ORDINARY;
    const struct spectrum *light =
        &shot->world->light[learning ? any_light(random) : (int)random_uniform(random, 0, 2.99)];

    random_sensitivities(random, shot->camera.channel);
    balance(&shot->camera, light, random);
    if (maker_matrix(shot->world, random, &shot->camera, &ignored))
        memset(shot->camera.matrix, 0, sizeof shot->camera.matrix);
    if (learning)
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
    for (int i = 0; i < SIMULATION_PAPERS; i++) {
        struct point at = {(i % 9) / 8.0, 1.3 * (i / 9) / 10.0};

        photo->paper[i] = record(shot, paper, at);
    }
    photo->input.paper = photo->paper;
    photo->input.paper_count = SIMULATION_PAPERS;
    for (int i = 0; i < SIMULATION_CELLS; i++) {
        struct point at = {(i % 8 + 0.5) / 8.0, 1.3 * (i / 8 + 0.5) / 10.0};
        struct spectrum ink = random_ink(shot->random);

        for (int j = 0; j < SPECTRUM_BANDS; j++)
            ink.band[j] *= paper->band[j] / 0.89;
        photo->truth[i] = observer_lab(&shot->world->observer, &ink);
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
