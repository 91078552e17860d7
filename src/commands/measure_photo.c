#include "measure.h"

#include "interruption.h"

#include "files/clock.h"
#include "output/check_picture.h"
#include "output/json.h"
#include "output/rows.h"

#include <string.h>

#define CHART_NAME_SIZE 256

/* One photo on its way through. */
struct measuring {
    const struct measure_run *run;
    struct photo photo;
    struct measurement measurement;
};

static const struct names *names_given(const struct measure_run *run)
{
    return run->names.cells ? &run->names : NULL;
}

/* --- before --------------------------------------------------------------------------------- */

/* Hints come in stored pixels, the photo is measured in working pixels. */
static struct quad working_quad(const struct quad *stored, double scale)
{
    struct quad working;

    for (int i = 0; i < 4; i++)
        working.corner[i] = point_scale(stored->corner[i], 1 / scale);
    return working;
}

static struct measurement_hints hints_for(const struct measure_run *run, double scale)
{
    const struct measure_settings *settings = &run->settings;
    const struct names *names = names_given(run);

    return (struct measurement_hints){
        .card = &run->card,
        .card_given = settings->card_at.given,
        .card_at = working_quad(&settings->card_at.quad, scale),
        .chart_given = settings->chart_at.given,
        .chart_at = working_quad(&settings->chart_at.quad, scale),
        .rows = names ? names->rows : settings->rows,
        .columns = names ? names->columns : settings->columns,
        .named = run->named,
        .chart_number = settings->which,
    };
}

static enum status refuse_inked_later(const struct photo *photo, const struct photo_time *inked_at,
                                      struct error *error)
{
    char taken[CLOCK_TEXT_SIZE], inked[CLOCK_TEXT_SIZE];

    if (inked_at->source == PHOTO_TIME_NONE || photo->taken.source == PHOTO_TIME_NONE ||
        inked_at->utc_seconds <= photo->taken.utc_seconds)
        return STATUS_OK;
    clock_format(&photo->taken, taken);
    clock_format(inked_at, inked);
    return error_set(error, STATUS_USAGE,
                     "%s: the photo was taken at %s, before its swatches were inked at %s; mend "
                     "--inked-at or the names file, or tell when it was taken with --at",
                     photo->path, taken, inked);
}

static enum status check_times(const struct measuring *measuring, struct error *error)
{
    const struct names *names = &measuring->run->names;
    int count = names->cells ? names->rows * names->columns : 0;
    enum status status =
        refuse_inked_later(&measuring->photo, &measuring->run->settings.inked_at, error);

    for (int i = 0; !status && i < count; i++)
        status = refuse_inked_later(&measuring->photo, &names->cells[i].inked_at, error);
    return status;
}

/* --- after ---------------------------------------------------------------------------------- */

static enum status compare_counts(const struct measuring *measuring, struct error *error)
{
    const struct names *names = names_given(measuring->run);
    const struct chart_pose *chart = &measuring->measurement.chart;

    if (!names || (names->rows == chart->rows && names->columns == chart->columns))
        return STATUS_OK;
    return error_set(
        error, STATUS_NOT_FOUND,
        "%s: the names file lays out %d rows x %d columns of cells, the sheet shows %d x "
        "%d; mend %s, with an empty field for each cell left blank",
        measuring->photo.path, names->rows, names->columns, chart->rows, chart->columns,
        measuring->run->settings.names);
}

/* The corrected picture takes the photo's samples, so it comes last. */
static enum status write_pictures(struct measuring *measuring, FILE *notes, struct error *error)
{
    const struct measure_settings *settings = &measuring->run->settings;
    struct photo *photo = &measuring->photo;
    const struct correction *correction = measuring->measurement.correction;
    enum status status = STATUS_OK;

    if (settings->check)
        status = check_picture_write(settings->check, photo, &measuring->measurement,
                                     &measuring->run->card, names_given(measuring->run), error);
    if (!status && settings->check)
        fprintf(notes, "%s: the check picture is %s\n", photo->path, settings->check);
    if (!status && settings->profile)
        status = correction_write_profile(correction, photo, settings->profile, error);
    if (!status && settings->corrected)
        status = correction_apply(correction, photo, error);
    if (!status && settings->corrected)
        status = photo_write_srgb(settings->corrected, &photo->image, error);
    return status;
}

/* A photo that can't be measured is best understood by looking at what was found in it. */
static void draw_refusal(const struct measuring *measuring, const struct error *refusal,
                         FILE *notes)
{
    const char *path = measuring->run->settings.check;
    struct error error;

    if (!path || !measuring->photo.image.samples ||
        (refusal->status != STATUS_NOT_FOUND && refusal->status != STATUS_QUALITY))
        return;
    if (check_picture_write_refusal(path, &measuring->photo, &measuring->measurement,
                                    &measuring->run->card, refusal->message, &error))
        fprintf(notes, "woad: %s\n", error.message);
    else
        fprintf(notes, "%s: what was found is drawn in %s\n", measuring->photo.path, path);
}

/* The layers that know no photo leave its name to be put before their message. */
static void note_fault(const char *path, const struct error *error, struct measure_outcome *outcome,
                       FILE *notes)
{
    bool named = strncmp(error->message, path, strlen(path)) == 0;

    snprintf(outcome->reason, sizeof outcome->reason, "%s%s%s", named ? "" : path,
             named ? "" : ": ", error->message);
    fprintf(notes, "woad: %s\n", outcome->reason);
}

/* The last part of a path without its ending: what a sheet is called if nothing better is told. */
static void stem_of(const char *path, char stem[CHART_NAME_SIZE])
{
    const char *slash = strrchr(path, '/');
    char *dot;

    snprintf(stem, CHART_NAME_SIZE, "%.*s", CHART_NAME_SIZE - 1, slash ? slash + 1 : path);
    dot = strrchr(stem, '.');
    if (dot && dot != stem)
        *dot = '\0';
}

static void chart_name(const struct measuring *measuring, char name[CHART_NAME_SIZE])
{
    const struct measure_settings *settings = &measuring->run->settings;

    if (settings->chart)
        snprintf(name, CHART_NAME_SIZE, "%s", settings->chart);
    else
        stem_of(settings->names ? settings->names : measuring->photo.path, name);
    if (!settings->chart && settings->which > 1) { /* two sheets in one photo are two charts */
        size_t length = strlen(name);

        snprintf(name + length, CHART_NAME_SIZE - length, " %d", settings->which);
    }
}

static void note_stored(const struct measuring *measuring, const struct inventory_outcome *outcome,
                        const char *chart, FILE *notes)
{
    const char *path = measuring->photo.path;

    fprintf(notes, "%s: %d readings stored in %s under the chart '%s'\n", path, outcome->readings,
            measuring->run->inventory_path, chart);
    if (outcome->times_before)
        fprintf(notes, "%s: this is the photo's measurement number %d; the others are kept\n", path,
                outcome->times_before + 1);
    else if (outcome->chart_known)
        fprintf(notes,
                "%s: the chart was known; if this is a freshly inked sheet, not the same again, it "
                "needs its own --chart\n",
                path);
}

static enum status store(const struct measuring *measuring, int *stored, FILE *notes,
                         struct error *error)
{
    const struct measure_settings *settings = &measuring->run->settings;
    struct inventory *inventory = NULL;
    struct inventory_outcome outcome;
    char chart[CHART_NAME_SIZE];
    const struct inventory_entry entry = {.photo = &measuring->photo,
                                          .measurement = &measuring->measurement,
                                          .names = names_given(measuring->run),
                                          .card = measuring->run->card.name,
                                          .chart = chart,
                                          .batch = settings->batch,
                                          .paper = settings->paper,
                                          .inked_at = settings->inked_at,
                                          .again = settings->again || settings->which};
    enum status status =
        inventory_open(measuring->run->inventory_path, INVENTORY_CREATE, &inventory, error);

    chart_name(measuring, chart);
    if (!status)
        status = inventory_store(inventory, &entry, &outcome, error);
    if (!status)
        note_stored(measuring, &outcome, chart, notes);
    *stored = status ? 0 : outcome.readings;
    inventory_close(inventory);
    return status;
}

static enum status print_readings(const struct measuring *measuring, const struct table *table,
                                  FILE *out, struct error *error)
{
    enum table_format format = measuring->run->settings.format;

    if (format == TABLE_JSON)
        return json_write_measurement(&measuring->photo, &measuring->measurement, table, out,
                                      error);
    if (format == TABLE_CSV)
        table_write_csv_rows(table, out);
    else
        table_write_text(table, out);
    return STATUS_OK;
}

/* --- all of it ------------------------------------------------------------------------------ */

static enum status read_and_measure(struct measuring *measuring, const char *path, FILE *notes,
                                    struct error *error)
{
    const struct photo_time *at = &measuring->run->settings.at;
    struct measurement_hints hints;
    enum status status = photo_read(path, PHOTO_WORKING_PIXELS_MAX, &measuring->photo, error);

    if (status)
        return status;
    if (at->source != PHOTO_TIME_NONE)
        measuring->photo.taken = *at;
    measure_note_photo(&measuring->photo, notes);
    status = check_times(measuring, error);
    hints = hints_for(measuring->run, measuring->photo.scale);
    if (!status)
        status = measurement_from_photo(&measuring->photo, &hints, &measuring->measurement, error);
    if (!status)
        status = compare_counts(measuring, error);
    if (!status)
        measure_note_measurement(measuring->run, path, &measuring->measurement, notes);
    return status;
}

enum status measure_photo(const struct measure_run *run, const char *path, FILE *out, FILE *notes,
                          struct measure_outcome *outcome)
{
    struct measuring measuring = {.run = run};
    struct table table = {0};
    struct error error;
    enum status status = read_and_measure(&measuring, path, notes, &error);

    if (status)
        draw_refusal(&measuring, &error, notes);
    if (!status)
        status =
            rows_of_measurement(path, &measuring.measurement, names_given(run), &table, &error);
    if (!status)
        status = write_pictures(&measuring, notes, &error);
    interruption_hold();
    if (!status && !run->settings.dry_run)
        status = store(&measuring, &outcome->stored, notes, &error);
    if (!status)
        status = print_readings(&measuring, &table, out, &error);
    if (status)
        note_fault(path, &error, outcome, notes);
    outcome->status = status;
    table_release(&table);
    measurement_release(&measuring.measurement);
    photo_release(&measuring.photo);
    return status;
}
