#ifndef SCENE_BASICS_H
#define SCENE_BASICS_H

/*
 * What every part of the scene renderer needs. It is a test tool that shares
 * no code with the program it tests, so a fault simply ends it.
 */

#include <stddef.h>

/**
 * Print a message in the manner of printf to stderr and leave with status 2.
 */
void fail(const char *format, ...) __attribute__((noreturn, format(printf, 1, 2)));

/**
 * Allocate a zeroed array or fail.
 *
 * Owns:    the caller frees it with free().
 */
void *allocate(size_t count, size_t size);

double clamp(double value, double low, double high);
double square(double value);

/**
 * A soft step from 0 (at `low` and below) to 1 (at `high` and above).
 */
double soft_step(double low, double high, double value);

/**
 * 1 far below zero, 0 far above, 1/2 at zero, over about 4 `width`.
 */
double falling_edge(double value, double width);

#endif
