#ifndef WOAD_TESTS_GIVEN_H
#define WOAD_TESTS_GIVEN_H

#include <stddef.h>
#include <stdint.h>

/* The entry point that a fuzzing engine, or replay.c, calls with one input after another. */
int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

/*
 * Put an input into a file, for readers that take a path; its name is written to `path`, which
 * the caller unlinks.
 */
void given_file(const uint8_t *data, size_t size, char path[64]);

/* Read an input as a photo, and release it again. */
void given_photo(const uint8_t *data, size_t size);

#endif
