#include "accuracy/blend_pairs.h"

#include "scene/inks.h"

#include <math.h>
#include <string.h>

#define ALIKE 8.0 /* delta E 2000: pairs as a person blends them */

static struct lab lab_of(const double spectrum[BLEND_PAIRS_BANDS])
{
    struct observer observer = observer_load();
    struct spectrum reflectance;
    double lab[3];

    memcpy(reflectance.at, spectrum, sizeof reflectance.at);
    observer_lab(&observer, &reflectance, lab);
    return (struct lab){lab[0], lab[1], lab[2]};
}

enum status blend_pairs_create(struct blend_pairs *pairs, struct error *error)
{
    const struct spectrum paper = paper_reflectance(PAPER_WHITE);
    enum status status = STATUS_OK;

    memset(pairs, 0, sizeof *pairs);
    pairs->observer = reflectance_observer_d50();
    pairs->count = inks_count();
    for (int i = 0; !status && i < pairs->count; i++) {
        struct spectrum ink = ink_reflectance(i, &paper, 1);

        memcpy(pairs->spectrum[i], ink.at, sizeof ink.at);
        status = blend_ink_prepare(&pairs->observer, lab_of(ink.at), 0, &pairs->inks[i], error);
    }
    return status;
}

static int draw(struct random *random, int below)
{
    random->state = random->state * 6364136223846793005u + 1442695040888963407u;
    return (int)((random->state >> 33) % (uint64_t)below);
}

struct blend_pair blend_pair_draw(const struct blend_pairs *pairs, struct random *random)
{
    struct blend_pair pair;

    do {
        pair.first = &pairs->inks[draw(random, pairs->count)];
        pair.second = &pairs->inks[draw(random, pairs->count)];
    } while (colour_delta_e_2000(pair.first->lab, pair.second->lab) < ALIKE);
    return pair;
}

struct lab blend_pair_truth(const struct blend_pairs *pairs, const struct blend_pair *pair,
                            enum blend_law law, double second_share)
{
    const double *first = pairs->spectrum[pair->first - pairs->inks];
    const double *second = pairs->spectrum[pair->second - pairs->inks];
    double mixed[BLEND_PAIRS_BANDS];

    for (int i = 0; i < BLEND_PAIRS_BANDS; i++)
        mixed[i] = law == BLEND_KUBELKA_MUNK ? blend_kubelka_munk(first[i], second[i], second_share)
                                             : blend_geometric(first[i], second[i], second_share);
    return lab_of(mixed);
}
