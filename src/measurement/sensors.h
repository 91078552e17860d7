#ifndef WOAD_MEASUREMENT_SENSORS_H
#define WOAD_MEASUREMENT_SENSORS_H

#include "measurement/measurement.h"
#include "scene.h"

/** What the card alone shows: haze, greys on no one curve, colours that disagree with its table. */
void sensors_of_card(const struct photo *photo, const struct card *card,
                     const struct measurement *measurement, struct faults *faults);

/** What the paper shows: its lightness, and how near it is to the end of the range. */
void sensors_of_paper(const struct scene *scene, struct lab paper, struct faults *faults);

/** What a chart's cells, which are read, show beside that. */
void sensors_of_chart(const struct scene *scene, const struct measured_chart *chart,
                      const struct card *card, struct faults *faults);

/** What a printed sheet's greys show, those within dark against those within white. */
void sensors_of_print(const struct scene *scene, const struct chart_told *told,
                      struct faults *faults);

#endif
