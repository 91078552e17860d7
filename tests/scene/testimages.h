#ifndef SCENE_TESTIMAGES_H
#define SCENE_TESTIMAGES_H

#include "plan.h"

/*
 * The photos kept in testimages/.
 */

int testimages_count(void);
const char *testimage_name(int i);
struct plan testimage_plan(int i);

#endif
