#include "questions/compare_photos.h"

#include "files/names.h"
#include "files/photo.h"
#include "measurement/measurement.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#define FAULTS (FLAG_CLIPPED | FLAG_GLARE | FLAG_SHADOW | FLAG_UNEVEN | FLAG_SMALL)

/* What serves both photos. */
struct comparing_photos {
    struct card card;
    struct names names; /* no cells: none given */
    int rows, columns;  /* of the first sheet */
    char hash[33];
};

/* A number for the batch that the names give a cell; 0: they tell none. */
static int batch_of(const struct names *names, const struct reading *reading)
{
    const char *batch = names->cells ? names_at(names, reading->row, reading->column)->batch : "";
    int number = 0;

    while (batch[0] && strcmp(names->cells[number].batch, batch) != 0)
        number++;
    return batch[0] ? number + 1 : 0;
}

static struct observation observation_of(const struct reading *reading, int photo)
{
    struct observation observation = {.lab = reading->lab,
                                      .u95 = reading->u95,
                                      .photo = photo,
                                      .swatch = reading->row * 1000 + reading->column,
                                      .faulty = (reading->flags & FAULTS) != 0};

    memcpy(observation.covariance_shared, reading->covariance_shared,
           sizeof observation.covariance_shared);
    memcpy(observation.covariance_own, reading->covariance_own, sizeof observation.covariance_own);
    return observation;
}

static enum status add_readings(const struct comparing_photos *comparing, int side,
                                const struct measurement *measurement, struct compare_sides *sides,
                                struct error *error)
{
    const struct names *names = comparing->names.cells ? &comparing->names : NULL;
    int count = measurement->charts[0].pose.rows * measurement->charts[0].pose.columns;
    enum status status = STATUS_OK;

    for (int i = 0; !status && i < count; i++) {
        const struct reading *reading = &measurement->charts[0].readings[i];
        struct observation observation = observation_of(reading, side + 1);
        char label[NAMES_LABEL_SIZE];
        const char *name = names_of_cell(names, reading->row, reading->column, label);
        struct compare_ink *ink;

        if (reading->found != CELL_INK || !name[0])
            continue;
        observation.batch = batch_of(&comparing->names, reading);
        ink = compare_sides_ink(sides, name, error);
        status = ink ? compare_sides_add(ink, side, &observation, error) : error->status;
    }
    return status;
}

/* Without names cells are matched by their place, so the sheets need the same rows and columns. */
static enum status compare_shapes(struct comparing_photos *comparing, int side,
                                  const struct photo *photo, const struct measurement *measurement,
                                  struct error *error)
{
    const struct chart_pose *chart = &measurement->charts[0].pose;

    if (side == 0) {
        comparing->rows = chart->rows;
        comparing->columns = chart->columns;
        snprintf(comparing->hash, sizeof comparing->hash, "%s", photo->hash);
        return STATUS_OK;
    }
    if (strcmp(comparing->hash, photo->hash) == 0)
        return error_set(error, STATUS_USAGE, "%s: is the same photo as the first; name two photos",
                         photo->path);
    if (comparing->rows == chart->rows && comparing->columns == chart->columns)
        return STATUS_OK;
    return error_set(error, STATUS_NOT_FOUND,
                     "%s: has %d rows of %d cells, the first photo's sheet %d rows of %d; measure "
                     "them with 'woad measure --names' and compare the charts or batches",
                     photo->path, chart->rows, chart->columns, comparing->rows, comparing->columns);
}

static enum status measure_side(struct comparing_photos *comparing, int side, const char *path,
                                struct compare_sides *sides, struct error *error)
{
    const struct names *names = &comparing->names;
    const struct measurement_hints hints = {.card = &comparing->card,
                                            .rows = names->cells ? names->rows : 0,
                                            .columns = names->cells ? names->columns : 0};
    struct photo photo = {0};
    struct measurement measurement = {0};
    enum status status = photo_read(path, PHOTO_WORKING_PIXELS_MAX, &photo, error);

    snprintf(sides->name[side], COMPARE_SIDES_NAME_SIZE, "%.*s", COMPARE_SIDES_NAME_SIZE - 1, path);
    if (!status)
        status = measurement_from_photo(&photo, &hints, &measurement, error);
    if (!status)
        status = compare_shapes(comparing, side, &photo, &measurement, error);
    if (!status)
        status = add_readings(comparing, side, &measurement, sides, error);
    measurement_release(&measurement);
    photo_release(&photo);
    return status;
}

enum status compare_photos_measure(char **paths, const struct card *card, const char *names,
                                   struct compare_sides *sides, struct error *error)
{
    struct comparing_photos comparing = {.card = *card};
    enum status status = STATUS_OK;

    sides->measured = true;
    if (names)
        status = names_read(names, &comparing.names, error);
    for (int side = 0; !status && side < 2; side++)
        status = measure_side(&comparing, side, paths[side], sides, error);
    for (size_t i = 0; !status && i < sides->count; i++)
        for (int side = 0; side < 2; side++)
            observation_sort_by_photo(sides->inks[i].swatches[side], sides->inks[i].count[side]);
    names_release(&comparing.names);
    return status;
}
