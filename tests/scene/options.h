#ifndef SCENE_OPTIONS_H
#define SCENE_OPTIONS_H

#include "plan.h"

/** A plan drawn from --grade, --number, --item and --treatment, then changed by every other option.
 */
struct plan options_plan(int argc, char **argv);

int option_grade(const char *word);
int option_treatment(const char *word);

void options_print(void);

#endif
