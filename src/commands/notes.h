#ifndef WOAD_COMMANDS_NOTES_H
#define WOAD_COMMANDS_NOTES_H

/* Private to src/commands: what is said beside the answers of several commands. */

#include "questions/blend_log.h"
#include "questions/measured_range.h"

#include <stdio.h>

/** Say which inks are left out for want of a colour, and what colours rest on a guess. */
void notes_of_range(const struct measured_range *measured, FILE *notes);

/** Say an ink's colour in words and figures, and what it rests on. */
void notes_of_colour(const struct range_ink *ink, const struct range_facts *facts, FILE *notes);

/** Say what forecasts of blends rest on. */
void notes_of_blends(const struct blend_log *log, FILE *notes);

#endif
