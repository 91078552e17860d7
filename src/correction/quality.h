#ifndef WOAD_CORRECTION_QUALITY_H
#define WOAD_CORRECTION_QUALITY_H

#include "correction/correction.h"

/** Say how well a finished correction fits its card, and how uneven the light was. */
void quality_rate(const struct correction *correction, const struct correction_input *input,
                  struct correction_quality *quality);

#endif
