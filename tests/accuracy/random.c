#include "accuracy/random.h"

#include <math.h>

/* Source: SplitMix64, public domain (Vigna), from memory. */
double random_uniform(struct random *random, double low, double high)
{
    uint64_t z = random->state += 0x9E3779B97F4A7C15u;

    z = (z ^ (z >> 30)) * 0xBF58476D1CE4E5B9u;
    z = (z ^ (z >> 27)) * 0x94D049BB133111EBu;
    z ^= z >> 31;
    return low + (high - low) * (double)(z >> 11) / 9007199254740992.0;
}

double random_normal(struct random *random)
{
    double u = random_uniform(random, 1e-12, 1);
    double v = random_uniform(random, 0, 1);

    return sqrt(-2 * log(u)) * cos(6.283185307179586 * v);
}
