#include "measure.h"

#include "interruption.h"

#include "base/text.h"
#include "base/utf8.h"
#include "output/check_picture.h"
#include "output/json.h"
#include "output/rows.h"

#include <string.h>
#include <time.h>

/* One photo on its way through, and what it gave. */
struct measuring {
    const struct measure_run *run;
    struct measured_photo photo;
    double seconds;
};

/* --- after ---------------------------------------------------------------------------------- */

static struct check_subject subject_of(const struct measuring *measuring, int chart)
{
    return (struct check_subject){.photo = &measuring->photo.photo,
                                  .measurement = &measuring->photo.measurement,
                                  .chart = chart,
                                  .card = &measuring->run->card,
                                  .names = measured_photo_names(&measuring->photo, chart)};
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
        fprintf(notes, "%s: the check picture is %s\n", measuring->photo.photo.path, path.bytes);
    text_release(&path);
    return status;
}

/* The corrected picture takes the photo's samples, so it comes last. */
static enum status write_pictures(struct measuring *measuring, FILE *notes, struct error *error)
{
    const struct measure_settings *settings = &measuring->run->settings;
    struct photo *photo = &measuring->photo.photo;
    const struct correction *correction = measuring->photo.measurement.correction;
    enum status status = STATUS_OK;

    for (int i = 0; !status && settings->check && i < measuring->photo.measurement.chart_count; i++)
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
    int last = measuring->photo.measurement.chart_count - 1;
    struct check_subject subject = subject_of(measuring, last > 0 ? last : 0);
    struct error error;

    if (!path || !measuring->photo.photo.image.samples ||
        (refusal->status != STATUS_NOT_FOUND && refusal->status != STATUS_QUALITY))
        return;
    if (check_picture_write_refusal(path, &subject, refusal->message, &error))
        fprintf(notes, "woad: %s\n", error.message);
    else
        fprintf(notes, "%s: what was found is drawn in %s\n", measuring->photo.photo.path, path);
}

/* The layers that know no photo leave its name to be put before their message. */
static void note_fault(const char *path, const struct error *error, struct measure_outcome *outcome,
                       FILE *notes)
{
    char shown[PHOTO_PATH_BYTES_MAX + 1];
    bool named;

    utf8_show(path, shown, sizeof shown); /* as the error has it */
    named = strncmp(error->message, shown, strlen(shown)) == 0;
    snprintf(outcome->reason, sizeof outcome->reason, "%s%s%s", named ? "" : shown,
             named ? "" : ": ", error->message);
    fprintf(notes, "woad: %s\n", outcome->reason);
}

/* Cells without a name, and cells that are named otherwise than before. */
static void note_names(const char *path, const struct measured_photo_stored *stored, FILE *notes)
{
    const struct inventory_outcome *outcome = &stored->outcome;
    char label[NAMES_LABEL_SIZE];

    if (outcome->unnamed)
        fprintf(notes,
                "%s: %d swatches have no name: they are kept, and are no inks before 'woad amend "
                "chart \"%s\" --names FILE.csv' names them\n",
                path, outcome->unnamed, stored->chart);
    for (int i = 0; i < outcome->changed && i < INVENTORY_CHANGED_LISTED; i++) {
        const struct inventory_changed_cell *cell = &outcome->changed_cells[i];

        names_label(cell->row, cell->column, label);
        fprintf(notes, "%s%s%s held '%s' before, and '%s' now", i ? "" : path, i ? ", " : ": ",
                label, cell->before, cell->now);
    }
    if (outcome->changed > INVENTORY_CHANGED_LISTED)
        fprintf(notes, ", and %d more cells", outcome->changed - INVENTORY_CHANGED_LISTED);
    if (outcome->changed)
        fprintf(notes, "; if that is wrong, 'woad amend chart \"%s\" --names FILE.csv' mends it\n",
                stored->chart);
}

static void note_stored(const struct measuring *measuring,
                        const struct measured_photo_stored *stored, FILE *notes)
{
    const char *path = measuring->photo.photo.path;

    fprintf(notes, "%s: %d readings stored in %s under the chart '%s'\n", path,
            stored->outcome.readings, measuring->run->inventory_path, stored->chart);
    if (stored->outcome.times_before)
        fprintf(notes, "%s: this is the photo's measurement number %d; the others are kept\n", path,
                stored->outcome.times_before + 1);
    else if (stored->outcome.chart_known)
        fprintf(notes,
                "%s: the chart was known; if this is a freshly inked sheet, not the same again, it "
                "needs its own --chart\n",
                path);
    note_names(path, stored, notes);
}

static enum status store(const struct measuring *measuring, int *readings, FILE *notes,
                         struct error *error)
{
    struct measured_photo_stored stored[CHARTS_MAX];
    enum status status =
        measured_photo_store(&measuring->photo, measuring->run->inventory_path, stored, error);

    *readings = 0;
    for (int i = 0; !status && i < measuring->photo.measurement.chart_count; i++) {
        note_stored(measuring, &stored[i], notes);
        *readings += stored[i].outcome.readings;
    }
    return status;
}

static enum status print_chart(const struct measuring *measuring, int i, FILE *out,
                               struct error *error)
{
    const struct measured_chart *chart = &measuring->photo.measurement.charts[i];
    const struct json_chart measured = {&measuring->photo.photo, &measuring->photo.measurement,
                                        chart, measuring->seconds};
    enum table_format format = measuring->run->settings.format;
    struct table table = {0};
    enum status status =
        rows_of_measurement(measuring->photo.photo.path, chart,
                            measured_photo_names(&measuring->photo, i), &table, error);

    if (!status && i > 0 && format == TABLE_JSON)
        fputs(",\n", out);
    if (!status && measuring->photo.measurement.chart_count > 1 && format == TABLE_TEXT)
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

    for (int i = 0; !status && i < measuring->photo.measurement.chart_count; i++)
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

static struct photo_told told_of(const struct measure_run *run)
{
    const struct measure_settings *settings = &run->settings;

    return (struct photo_told){.card = &run->card,
                               .names = run->names.cells ? &run->names : NULL,
                               .named = run->named,
                               .names_path = settings->names,
                               .chart = settings->chart,
                               .batch = settings->batch,
                               .paper = settings->paper,
                               .at = settings->at,
                               .inked_at = settings->inked_at,
                               .fresh = settings->fresh,
                               .card_at = settings->card_at,
                               .chart_at = settings->chart_at,
                               .rows = settings->rows,
                               .columns = settings->columns,
                               .which = settings->which,
                               .turned = settings->turned != NULL,
                               .turns = run->turns,
                               .again = settings->again};
}

static enum status read_and_measure(struct measuring *measuring, const char *path, FILE *notes,
                                    struct error *error)
{
    const struct measure_run *run = measuring->run;
    struct measured_photo *photo = &measuring->photo;
    struct photo_told told = told_of(run);
    double start;
    enum status status = measured_photo_read(path, &told, run->inventory_path, photo, error);

    measure_note_sheets(photo, notes);
    start = seconds_now();
    if (!status)
        status = measured_photo_measure(photo, error);
    measuring->seconds = seconds_now() - start;
    for (int i = 0; !status && i < photo->measurement.chart_count; i++)
        measure_note_chart(run, photo, i, notes);
    if (!status)
        measure_note_scale(photo, run->settings.card_mm, notes);
    return status;
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
    measured_photo_release(&measuring.photo);
    return status;
}
