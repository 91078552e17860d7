#include "questions/measured_photo.h"

#include "base/utf8.h"
#include "naming_fit.h"
#include "values/calendar.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

/* --- what is told ----------------------------------------------------------------------------- */

enum status told_corners_parse(const char *text, const char *name, struct told_corners *corners,
                               struct error *error)
{
    struct point *at = corners->quad.corner;
    int end = 0;
    int count = sscanf(text, "%lf,%lf,%lf,%lf,%lf,%lf,%lf,%lf%n", &at[0].x, &at[0].y, &at[1].x,
                       &at[1].y, &at[2].x, &at[2].y, &at[3].x, &at[3].y, &end);
    bool sound = count == 8 && !text[end];

    for (int i = 0; i < 4 && sound; i++)
        sound = fabs(at[i].x) <= 1e6 && fabs(at[i].y) <= 1e6; /* false also for what is no number */
    if (!sound)
        return error_set(error, STATUS_USAGE,
                         "%s takes four corners as X,Y,X,Y,X,Y,X,Y in pixels of the photo "
                         "upright, clockwise, not '%.60s'",
                         name, text);
    if (!quad_is_convex(&corners->quad))
        return error_set(error, STATUS_USAGE,
                         "%s: the corners '%.60s' do not go once around clockwise; give them in "
                         "that order",
                         name, text);
    corners->given = true;
    return STATUS_OK;
}

/* --- reading ---------------------------------------------------------------------------------- */

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

static enum status check_times(const struct measured_photo *measured, struct error *error)
{
    const struct names *names = measured->told.names; /* a printed sheet's tell no times */
    int count = names ? names->rows * names->columns : 0;
    enum status status = refuse_inked_later(&measured->photo, &measured->told.inked_at, error);

    for (int i = 0; !status && i < count; i++)
        status = refuse_inked_later(&measured->photo, &names->cells[i].inked_at, error);
    return status;
}

/* Whoever tells names or places beforehand knows better than a sheet's marks. */
static bool knows_sheet(const struct photo_told *told)
{
    return told->names || told->chart_at.given || told->which || told->rows || told->columns;
}

const struct names *measured_photo_names(const struct measured_photo *measured, int chart)
{
    return measured->sheets.count ? &measured->sheets.items[chart].names : measured->told.names;
}

enum status measured_photo_read(const char *path, const struct photo_told *told,
                                const char *inventory_path, struct measured_photo *measured,
                                struct error *error)
{
    enum status status;

    memset(measured, 0, sizeof *measured);
    measured->told = *told;
    measured->inventory_path = inventory_path;
    measured->told.fresh.chart = told->fresh.chart || !told->chart;
    status = photo_read(path, PHOTO_WORKING_PIXELS_MAX, &measured->photo, error);
    if (status)
        return status;
    if (told->at.source != PHOTO_TIME_NONE)
        measured->photo.taken = told->at;
    if (!knows_sheet(told))
        status = photo_sheet_find(&measured->photo, inventory_path, &measured->sheets, error);
    return status ? status : check_times(measured, error);
}

/* --- what it is called ------------------------------------------------------------------------ */

/* The last part of a path without its ending: what a sheet is called if nothing better is told. */
static void stem_of(const char *path, char stem[MEASURED_PHOTO_CHART_SIZE])
{
    const char *slash = strrchr(path, '/');
    char *dot;

    utf8_show(slash ? slash + 1 : path, stem, NAMES_CHART_BYTES_MAX + 1);
    dot = strrchr(stem, '.');
    if (dot && dot != stem)
        *dot = '\0';
}

/* Two sheets in one photo are two charts, and need two names. */
static void name_chart(const struct measured_photo *measured, int number,
                       char name[MEASURED_PHOTO_CHART_SIZE])
{
    const struct photo_told *told = &measured->told;
    const struct inventory_sheet *sheet =
        measured->sheets.count ? &measured->sheets.items[number - 1] : NULL;
    bool one_told = sheet ? !told->chart : told->chart && (told->which || told->names_path);

    if (sheet && !told->chart)
        snprintf(name, MEASURED_PHOTO_CHART_SIZE, "%.200s, sheet %d", sheet->title, sheet->number);
    else if (told->chart)
        snprintf(name, MEASURED_PHOTO_CHART_SIZE, "%s", told->chart);
    else
        stem_of(told->names_path ? told->names_path : measured->photo.path, name);
    if (!one_told && number > 1) {
        size_t length = strlen(name);

        snprintf(name + length, MEASURED_PHOTO_CHART_SIZE - length, " %d", number);
    }
}

/* --- measuring -------------------------------------------------------------------------------- */

/* Hints come in stored pixels, the photo is measured in working pixels. */
static struct quad working_quad(const struct quad *stored, double scale)
{
    struct quad working;

    for (int i = 0; i < 4; i++)
        working.corner[i] = point_scale(stored->corner[i], 1 / scale);
    return working;
}

/* The charts whose places are known: by printed sheets' marks, or as told. */
static void place_charts(const struct measured_photo *measured, struct measurement_hints *hints)
{
    const struct photo_told *told = &measured->told;

    hints->told_count = measured->sheets.count;
    for (int i = 0; i < hints->told_count; i++)
        hints->told[i] = photo_sheet_told(&measured->sheets, i);
    if (told->chart_at.given)
        hints->told[hints->told_count++] = (struct chart_told){
            .at = working_quad(&told->chart_at.quad, measured->photo.scale),
            .rows = hints->rows,
            .columns = hints->columns,
        };
}

/* Marks tell how a printed sheet lies; without an inventory yet, nothing is known of a chart. */
static enum status check_naming(struct measured_photo *measured, struct error *error)
{
    const struct photo_told *told = &measured->told;
    struct inventory *inventory = NULL;
    struct error unfound;
    bool known = false;
    enum status status = STATUS_OK;

    if (measured->sheets.count)
        return STATUS_OK;
    if (!inventory_open(measured->inventory_path, INVENTORY_READ, &inventory, &unfound))
        for (int i = 0; !status && i < measured->measurement.chart_count; i++) {
            const struct measured_chart *chart = &measured->measurement.charts[i];
            char name[MEASURED_PHOTO_CHART_SIZE];
            const struct naming_sheet sheet = {measured->photo.path, chart, told->names, name};

            name_chart(measured, chart->pose.number, name);
            status = naming_fit_check(inventory, &sheet, &known, error);
            known = known || chart->way_told;
        }
    else
        known = measured->measurement.chart_count && measured->measurement.charts[0].way_told;
    measured->way_unknown = told->names && !known && !told->turned && !told->chart_at.given;
    inventory_close(inventory);
    return status;
}

enum status measured_photo_measure(struct measured_photo *measured, struct error *error)
{
    const struct photo_told *told = &measured->told;
    struct measurement_hints hints = {
        .card = told->card,
        .card_given = told->card_at.given,
        .card_at = working_quad(&told->card_at.quad, measured->photo.scale),
        .rows = told->names ? told->names->rows : told->rows,
        .columns = told->names ? told->names->columns : told->columns,
        .named = told->named,
        .chart_number = told->which,
        .every_chart = !knows_sheet(told),
        .turned = told->turned,
        .turns = told->turns,
    };
    enum status status;

    place_charts(measured, &hints);
    status = measurement_from_photo(&measured->photo, &hints, &measured->measurement, error);
    return status ? status : check_naming(measured, error);
}

/* --- storing ---------------------------------------------------------------------------------- */

static struct inventory_entry entry_of(const struct measured_photo *measured, int i,
                                       const char *chart)
{
    const struct photo_told *told = &measured->told;
    const struct measured_chart *charts = measured->measurement.charts;

    return (struct inventory_entry){.photo = &measured->photo,
                                    .measurement = &measured->measurement,
                                    .measured = &charts[i],
                                    .names = measured_photo_names(measured, i),
                                    .card = told->card->name,
                                    .chart = chart,
                                    .batch = told->batch,
                                    .paper = told->paper,
                                    .inked_at = told->inked_at,
                                    .fresh = told->fresh,
                                    .again = told->again,
                                    .several = charts[i].pose.charts > 1};
}

enum status measured_photo_store(const struct measured_photo *measured, const char *inventory_path,
                                 struct measured_photo_stored stored[CHARTS_MAX],
                                 struct error *error)
{
    int count = measured->measurement.chart_count;
    struct inventory *inventory = NULL;
    struct inventory_outcome outcomes[CHARTS_MAX];
    struct inventory_entry entries[CHARTS_MAX];
    enum status status = inventory_open(inventory_path, INVENTORY_CREATE, &inventory, error);

    for (int i = 0; i < count; i++) {
        name_chart(measured, measured->measurement.charts[i].pose.number, stored[i].chart);
        entries[i] = entry_of(measured, i, stored[i].chart);
    }
    if (!status)
        status = inventory_store(inventory, entries, count, outcomes, error);
    for (int i = 0; !status && i < count; i++)
        stored[i].outcome = outcomes[i];
    inventory_close(inventory);
    return status;
}

void measured_photo_release(struct measured_photo *measured)
{
    measurement_release(&measured->measurement);
    photo_sheet_release(&measured->sheets);
    photo_release(&measured->photo);
}
