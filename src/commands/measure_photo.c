#include "measure.h"
#include "measure_sheet.h"

#include "interruption.h"

#include "base/text.h"
#include "base/utf8.h"
#include "values/calendar.h"
#include "output/check_picture.h"
#include "output/json.h"
#include "output/rows.h"

#include <string.h>
#include <time.h>

#define CHART_NAME_SIZE 256

/* One photo on its way through, and what it gave. */
struct measuring {
    const struct measure_run *run;
    struct photo photo;
    struct measurement measurement;
    struct measure_sheet sheet; /* what its corner marks told; then `run` is this one's */
    double seconds;
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

/* Whether nothing tells one chart from others in the photo: then all are wanted. */
static bool wants_all(const struct measure_settings *settings)
{
    return !settings->which && !settings->names && !settings->chart_at.given && !settings->rows &&
           !settings->columns;
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
        .every_chart = wants_all(settings),
    };
}

static enum status refuse_inked_later(const struct photo *photo, const struct photo_time *inked_at,
                                      struct error *error)
{
    char taken[CALENDAR_TEXT_SIZE], inked[CALENDAR_TEXT_SIZE];

    if (inked_at->source == PHOTO_TIME_NONE || photo->taken.source == PHOTO_TIME_NONE ||
        inked_at->utc_seconds <= photo->taken.utc_seconds)
        return STATUS_OK;
    calendar_format(&photo->taken, taken);
    calendar_format(inked_at, inked);
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

static struct check_subject subject_of(const struct measuring *measuring, int chart)
{
    return (struct check_subject){.photo = &measuring->photo,
                                  .measurement = &measuring->measurement,
                                  .chart = chart,
                                  .card = &measuring->run->card,
                                  .names = names_given(measuring->run)};
}

/* Of several charts each has a check picture: the first as told, the others by their number. */
static enum status write_check(const struct measuring *measuring, int i, FILE *notes,
                               struct error *error)
{
    const char *told = measuring->run->settings.check;
    const char *dot = strrchr(told, '.');
    int stem = dot ? (int)(dot - told) : (int)strlen(told);
    const struct check_subject subject = subject_of(measuring, i);
    struct text path = {0};
    enum status status = text_add(&path, error, "%.*s", stem, told);

    if (!status && i > 0)
        status = text_add(&path, error, "-%d", i + 1);
    if (!status)
        status = text_add(&path, error, "%s", told + stem);
    if (!status)
        status = check_picture_write(path.bytes, &subject, error);
    if (!status)
        fprintf(notes, "%s: the check picture is %s\n", measuring->photo.path, path.bytes);
    text_release(&path);
    return status;
}

/* The corrected picture takes the photo's samples, so it comes last. */
static enum status write_pictures(struct measuring *measuring, FILE *notes, struct error *error)
{
    const struct measure_settings *settings = &measuring->run->settings;
    struct photo *photo = &measuring->photo;
    const struct correction *correction = measuring->measurement.correction;
    enum status status = STATUS_OK;

    for (int i = 0; !status && settings->check && i < measuring->measurement.chart_count; i++)
        status = write_check(measuring, i, notes, error);
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
    int last = measuring->measurement.chart_count - 1;
    struct check_subject subject = subject_of(measuring, last > 0 ? last : 0);
    struct error error;

    if (!path || !measuring->photo.image.samples ||
        (refusal->status != STATUS_NOT_FOUND && refusal->status != STATUS_QUALITY))
        return;
    if (check_picture_write_refusal(path, &subject, refusal->message, &error))
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

    utf8_show(slash ? slash + 1 : path, stem, NAMES_CHART_BYTES_MAX + 1);
    dot = strrchr(stem, '.');
    if (dot && dot != stem)
        *dot = '\0';
}

/* Two sheets in one photo are two charts, and need two names. */
static void chart_name(const struct measuring *measuring, int number, char name[CHART_NAME_SIZE])
{
    const struct measure_settings *settings = &measuring->run->settings;
    bool one_told = settings->chart && (settings->which || settings->names);

    if (settings->chart)
        snprintf(name, CHART_NAME_SIZE, "%s", settings->chart);
    else
        stem_of(settings->names ? settings->names : measuring->photo.path, name);
    if (!one_told && number > 1) {
        size_t length = strlen(name);

        snprintf(name + length, CHART_NAME_SIZE - length, " %d", number);
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

static struct inventory_entry entry_of(const struct measuring *measuring, int i, const char *chart)
{
    const struct measure_settings *settings = &measuring->run->settings;

    return (struct inventory_entry){.photo = &measuring->photo,
                                    .measurement = &measuring->measurement,
                                    .measured = &measuring->measurement.charts[i],
                                    .names = names_given(measuring->run),
                                    .card = measuring->run->card.name,
                                    .chart = chart,
                                    .batch = settings->batch,
                                    .paper = settings->paper,
                                    .inked_at = settings->inked_at,
                                    .again = settings->again,
                                    .several = measuring->measurement.charts[i].pose.charts > 1};
}

static enum status store(const struct measuring *measuring, int *stored, FILE *notes,
                         struct error *error)
{
    struct inventory *inventory = NULL;
    struct inventory_outcome outcomes[CHARTS_MAX];
    struct inventory_entry entries[CHARTS_MAX];
    char charts[CHARTS_MAX][CHART_NAME_SIZE];
    enum status status =
        inventory_open(measuring->run->inventory_path, INVENTORY_CREATE, &inventory, error);

    for (int i = 0; i < measuring->measurement.chart_count; i++) {
        chart_name(measuring, measuring->measurement.charts[i].pose.number, charts[i]);
        entries[i] = entry_of(measuring, i, charts[i]);
    }
    if (!status)
        status = inventory_store(inventory, entries, measuring->measurement.chart_count, outcomes,
                                 error);
    *stored = 0;
    for (int i = 0; !status && i < measuring->measurement.chart_count; i++) {
        note_stored(measuring, &outcomes[i], charts[i], notes);
        *stored += outcomes[i].readings;
    }
    inventory_close(inventory);
    return status;
}

static enum status print_chart(const struct measuring *measuring, int i, FILE *out,
                               struct error *error)
{
    const struct measured_chart *chart = &measuring->measurement.charts[i];
    const struct json_chart measured = {&measuring->photo, &measuring->measurement, chart,
                                        measuring->seconds};
    enum table_format format = measuring->run->settings.format;
    struct table table = {0};
    enum status status = rows_of_measurement(measuring->photo.path, chart,
                                             names_given(measuring->run), &table, error);

    if (!status && i > 0 && format == TABLE_JSON)
        fputs(",\n", out);
    if (!status && measuring->measurement.chart_count > 1 && format == TABLE_TEXT)
        fprintf(out, "%schart %d\n", i > 0 ? "\n" : "", i + 1);
    if (!status && format == TABLE_JSON)
        status = json_write_measurement(&measured, &table, out, error);
    else if (!status && format == TABLE_CSV)
        table_write_csv_rows(&table, out);
    else if (!status)
        table_write_text(&table, out);
    table_release(&table);
    return status;
}

static enum status print_readings(const struct measuring *measuring, FILE *out, struct error *error)
{
    enum status status = STATUS_OK;

    for (int i = 0; !status && i < measuring->measurement.chart_count; i++)
        status = print_chart(measuring, i, out, error);
    return status;
}

/* --- all of it ------------------------------------------------------------------------------ */

static double seconds_now(void)
{
    struct timespec now;

    timespec_get(&now, TIME_UTC);
    return (double)now.tv_sec + (double)now.tv_nsec * 1e-9;
}

static enum status measure_it(struct measuring *measuring, struct error *error)
{
    struct measurement_hints hints = hints_for(measuring->run, measuring->photo.scale);
    double start = seconds_now();
    enum status status =
        measurement_from_photo(&measuring->photo, &hints, &measuring->measurement, error);

    measuring->seconds = seconds_now() - start;
    return status;
}

static enum status read_and_measure(struct measuring *measuring, const char *path, FILE *notes,
                                    struct error *error)
{
    const struct photo_time *at = &measuring->run->settings.at;
    enum status status = photo_read(path, PHOTO_WORKING_PIXELS_MAX, &measuring->photo, error);

    if (status)
        return status;
    if (at->source != PHOTO_TIME_NONE)
        measuring->photo.taken = *at;
    status = measure_sheet_find(measuring->run, &measuring->photo, &measuring->sheet, notes, error);
    if (measuring->sheet.run.names.cells)
        measuring->run = &measuring->sheet.run;
    if (!status)
        status = check_times(measuring, error);
    if (!status)
        status = measure_it(measuring, error);
    for (int i = 0; !status && i < measuring->measurement.chart_count; i++)
        measure_note_chart(measuring->run, &measuring->photo, &measuring->measurement, i, notes);
    return status;
}

static void release(struct measuring *measuring)
{
    measurement_release(&measuring->measurement);
    measure_sheet_release(&measuring->sheet);
    photo_release(&measuring->photo);
}

enum status measure_photo(const struct measure_run *run, const char *path, FILE *out, FILE *notes,
                          struct measure_outcome *outcome)
{
    struct measuring measuring = {.run = run};
    struct error error;
    enum status status = read_and_measure(&measuring, path, notes, &error);

    if (status)
        draw_refusal(&measuring, &error, notes);
    if (!status)
        status = write_pictures(&measuring, notes, &error);
    interruption_hold();
    if (!status && !run->settings.dry_run)
        status = store(&measuring, &outcome->stored, notes, &error);
    if (!status)
        status = print_readings(&measuring, out, &error);
    if (status)
        note_fault(path, &error, outcome, notes);
    outcome->status = status;
    release(&measuring);
    return status;
}
