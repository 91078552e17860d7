#ifndef WOAD_OUTPUT_FAULT_WORDS_H
#define WOAD_OUTPUT_FAULT_WORDS_H

#include "measurement/faults.h"

/* What a photo's faults mean, in words: the same on the terminal and in the check picture. */
#define FAULT_WORDS_SIZE 480

/** What was seen of a fault, and what to do: a line without a full stop. */
void fault_words_of(enum fault_kind kind, const struct fault *fault, char words[FAULT_WORDS_SIZE]);

/** The verdict with the reason that weighs most, in one line. */
void fault_words_verdict_line(const struct faults *faults, char words[FAULT_WORDS_SIZE]);

#endif
