#ifndef WOAD_COMMANDS_COMBINATIONS_H
#define WOAD_COMMANDS_COMBINATIONS_H

/* Private to src/commands: what the files of 'woad combinations' share. */

#include "questions/blend_log.h"
#include "commands.h"

struct combinations_settings {
    const char *mood;
    const char *note;
    struct photo_time at;
    const char *since;
    bool without;
    bool again;
    int cells;
    int rows;
    const char *card;
    struct told_corners card_at;
    struct told_corners chart_at;
    bool dry_run;
    const char *picture;
    const char *inventory;
    enum table_format format;
};

/**
 * Measure the photo of a test blend of two inks, or, `inks` NULL, of strips that woad printed, and
 * say and keep what they teach.
 *
 * Returns: STATUS_OK, or what measuring, storing or printing returns.
 */
MUST_USE enum status combinations_measure(const struct combinations_settings *settings,
                                          const char *photo, char **inks, struct error *error);

#endif
