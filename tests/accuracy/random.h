#ifndef WOAD_TESTS_RANDOM_H
#define WOAD_TESTS_RANDOM_H

#include <stdint.h>

/* A small random generator, so that a seed means the same on every machine. */
struct random {
    uint64_t state;
};

double random_uniform(struct random *random, double low, double high);
double random_normal(struct random *random);

#endif
