#ifndef WOAD_ANALYSIS_REFLECTANCE_TABLES_H
#define WOAD_ANALYSIS_REFLECTANCE_TABLES_H

/* Private to src/analysis: the tables of the CIE behind reflectance.c, every 10 nm. */

#include "analysis/reflectance.h"

/* Source: CIE 15, the colour-matching functions of the 1931 observer and the components of
 * daylight; a test holds them against the tables in Debian's colord-data. */
extern const double reflectance_matching[3][REFLECTANCE_BANDS];
extern const double reflectance_daylight[3][REFLECTANCE_BANDS];

#endif
