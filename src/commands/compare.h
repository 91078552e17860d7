#ifndef WOAD_COMMANDS_COMPARE_H
#define WOAD_COMMANDS_COMPARE_H

/* Private to src/commands: what the files of 'woad compare' share. */

#include "analysis/batches.h"
#include "commands.h"
#include "output/compare_rows.h"
#include "questions/compare_sides.h"

struct compare_settings {
    struct option_words batch; /* two */
    struct option_words chart; /* two */
    const char *names;
    const char *card;
    double tolerance;
    double spread; /* 0: not told */
    double plan;   /* NAN: not asked */
    bool more;
    const char *inventory;
    enum table_format format;
};

/** Say beside the rows what they rest on. */
void compare_note(const struct compare_sides *sides, const struct batches *batches,
                  const struct compare_settings *settings, FILE *out);

#endif
