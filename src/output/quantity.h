#ifndef WOAD_OUTPUT_QUANTITY_H
#define WOAD_OUTPUT_QUANTITY_H

#include "analysis/difference.h"
#include "files/photo.h"
#include "output/table.h"
#include "values/colour.h"
#include "values/interval.h"

/*
 * The columns that several tables share, so that a quantity has one name, one
 * title and one precision wherever it is printed. A pointer that is NULL makes
 * the columns of a value that is not known.
 */
/** L*, a*, b* to so many decimals. */
void quantity_lab(struct table *table, const struct lab *lab, int decimals,
                  enum column_place place);

/** The radius that holds the true colour with 95 % probability, delta E 2000. */
void quantity_u95(struct table *table, double u95, int decimals);

/** A delta E 2000 with the bounds that hold the true one with 95 % probability. */
void quantity_delta_e(struct table *table, const struct interval *delta_e);

/** How far one colour lies from another in lightness, chroma and hue. */
void quantity_parts(struct table *table, const struct difference *difference,
                    enum column_place place);

/** A time; `column` says of what. */
void quantity_time(struct table *table, struct column column, const struct photo_time *time);

/** A cell by its label, "B3"; row 0: none. */
void quantity_cell(struct table *table, int row, int column, enum column_place place);

/** What a reading's flags say, joined by ';'. */
void quantity_flags(struct table *table, unsigned flags);

#endif
