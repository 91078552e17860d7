#ifndef WOAD_MEASUREMENT_CELL_CONTENTS_H
#define WOAD_MEASUREMENT_CELL_CONTENTS_H

#include "measurement/measurement.h"
#include "scene.h"

/** Whether a cell holds ink, is empty, or can't be told; its colour and u95 are known. */
enum cell_found cell_contents(const struct scene *scene, const struct chart_pose *chart,
                              const struct reading *reading);

/** Whether the photo goes on evenly over the sides of a cell: then no ink ends there. */
bool cell_contents_goes_on(const struct scene *scene, const struct quad *cell);

#endif
