#ifndef WOAD_TESTS_SIMULATION_H
#define WOAD_TESTS_SIMULATION_H

#include "accuracy/random.h"
#include "card_values.h"
#include "correction/colour_fit.h"
#include "correction/correction.h"
#include "scene/spectrum.h"

/*
 * A photo as numbers: the means that sampling would give for the card's
 * patches, bare paper and inked cells, with a camera, light and tone curve of
 * its own. Everything is invented; a seed fixes it.
 */
#define SIMULATION_CELLS 80
#define SIMULATION_PAPERS 99
#define SIMULATION_CARDS 4

/* Clean: no noise, no fall-off, no curve, for the colour model alone. Look and phone: a camera with
 * a look; the phone's maps tones by their surroundings, too. Learning: as clean, but in any kind of
 * light and in any of the colour spaces that photos come in; plain, with a look, or raw. */
enum simulation_grade {
    SIMULATION_CLEAN,
    SIMULATION_EVEN,
    SIMULATION_ORDINARY,
    SIMULATION_LOOK,
    SIMULATION_PHONE,
    SIMULATION_RAW,
    SIMULATION_GRADES,
    SIMULATION_LEARNING_PLAIN = SIMULATION_GRADES,
    SIMULATION_LEARNING_LOOK,
    SIMULATION_LEARNING_RAW
};

#define SIMULATION_DAYLIGHTS 3
#define SIMULATION_LIGHTS 14 /* daylights, then glowing wire, fluorescent tubes, LEDs */

struct simulation_world {
    struct observer observer;
    struct spectrum light[SIMULATION_LIGHTS];
    struct card card;
    struct spectrum patch[SIMULATION_CARDS][CARD_PATCHES]; /* other pigments, the same Lab */
};

struct simulation_photo {
    struct correction_input input;
    struct area_sample paper[SIMULATION_PAPERS];
    struct area_sample cell[SIMULATION_CELLS];
    bool cell_clipped[SIMULATION_CELLS];
    struct lab truth[SIMULATION_CELLS];
};

/** Read the CIE's tables, or end the program; as the renderer does. */
void simulation_world_create(struct simulation_world *world);

/** Draw other pigments for the cards; `structure`, in logits: how far they stray. */
void simulation_draw_cards(struct simulation_world *world, struct random *random, double structure);

/** Take one photo: `seed` chooses camera, light, card pigments, inks, tone and noise. */
void simulation_take(const struct simulation_world *world, enum simulation_grade grade,
                     uint64_t seed, struct simulation_photo *photo);

/** The card's patches that can be used, as a colour model is fitted to them; how many. */
int simulation_patches(const struct simulation_photo *photo,
                       struct colour_patch patches[CARD_PATCHES]);

#endif
