#include "combinations.h"

#include "base/utf8.h"
#include "output/combine_rows.h"
#include "questions/photo_sheet.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* Delta E 2000 between an end of the strip and its ink that needs a word, and that is too much. */
#define UNLIKE_END 8.0
#define OTHER_END 20.0

/* The cells of a test blend on a chart of the photo; row and column from 0. */
struct blend_place {
    int chart;
    int row, rows; /* as often as it was made */
    int column, cells;
};

/* Test blends on their way from the photo to the inventory. */
struct blending {
    const struct combinations_settings *settings;
    const struct measured_range *measured;
    struct photo photo;
    struct photo_sheets sheets; /* printed strips, if it shows any */
    struct measurement measurement;
    struct blend_place place;     /* of the one looked at */
    struct inventory_strip strip; /* its names are borrowed */
    double between_rows;          /* mean delta E 2000 of the rows' cells from their mean */
};

/* --- reading -------------------------------------------------------------------------------- */

static struct quad working_quad(const struct quad *stored, double scale)
{
    struct quad working;

    for (int i = 0; i < 4; i++)
        working.corner[i] = point_scale(stored->corner[i], 1 / scale);
    return working;
}

static enum status read(struct blending *blending, const char *path, struct error *error)
{
    const struct photo_time *at = &blending->settings->at;
    enum status status = photo_read(path, PHOTO_WORKING_PIXELS_MAX, &blending->photo, error);

    if (!status && at->source != PHOTO_TIME_NONE)
        blending->photo.taken = *at;
    return status;
}

static enum status measure(struct blending *blending, struct error *error)
{
    const struct combinations_settings *settings = blending->settings;
    double scale = blending->photo.scale;
    struct card card;
    struct measurement_hints hints = {.card = &card,
                                      .card_given = settings->card_at.given,
                                      .card_at = working_quad(&settings->card_at.quad, scale),
                                      .told_count = blending->sheets.count,
                                      .rows = settings->rows,
                                      .columns = settings->cells};
    enum status status = commands_read_card(settings->card, &card, error);

    for (int i = 0; i < hints.told_count; i++)
        hints.told[i] = photo_sheet_told(&blending->sheets, i);
    if (!hints.told_count && settings->chart_at.given)
        hints.told[hints.told_count++] =
            (struct chart_told){.at = working_quad(&settings->chart_at.quad, scale),
                                .rows = settings->rows,
                                .columns = settings->cells};
    if (!status)
        status = measurement_from_photo(&blending->photo, &hints, &blending->measurement, error);
    return status;
}

static const struct reading *reading_at(const struct blending *blending, int row, int column)
{
    const struct blend_place *place = &blending->place;
    const struct measured_chart *chart = &blending->measurement.charts[place->chart];

    return &chart->readings[(place->row + row) * chart->pose.columns + place->column + column];
}

/* One cell of the strip: the mean of the rows', which are the same blend made again. */
static struct inventory_blend_cell mean_cell(struct blending *blending, int column)
{
    int rows = blending->place.rows, cells = blending->place.cells;
    struct inventory_blend_cell cell = {column / (cells - 1.0), {0, 0, 0}, 0};

    for (int row = 0; row < rows; row++) {
        const struct reading *reading = reading_at(blending, row, column);

        cell.lab.L += reading->lab.L / rows;
        cell.lab.a += reading->lab.a / rows;
        cell.lab.b += reading->lab.b / rows;
        cell.u95 = fmax(cell.u95, reading->u95);
    }
    for (int row = 0; row < rows; row++)
        blending->between_rows +=
            colour_delta_e_2000(reading_at(blending, row, column)->lab, cell.lab) / (rows * cells);
    return cell;
}

static enum status take_cells(struct blending *blending, struct error *error)
{
    const struct blend_place *place = &blending->place;

    for (int row = 0; row < place->rows; row++)
        for (int column = 0; column < place->cells; column++)
            if (reading_at(blending, row, column)->found != CELL_INK)
                return error_set(error, STATUS_QUALITY,
                                 "%s: cell %d of row %d holds no ink that can be read; a test "
                                 "blend fills every cell",
                                 blending->photo.path, place->column + column + 1,
                                 place->row + row + 1);
    for (int column = 0; column < place->cells; column++)
        blending->strip.cells[blending->strip.count++] = mean_cell(blending, column);
    return STATUS_OK;
}

/* --- which end is which --------------------------------------------------------------------- */

static const struct range_ink *ink_named(const struct blending *blending, const char *name)
{
    for (size_t i = 0; i < blending->measured->count; i++)
        if (utf8_same(blending->measured->inks[i].name, name))
            return &blending->measured->inks[i];
    return NULL;
}

static void turn_strip(struct inventory_strip *strip)
{
    for (size_t i = 0, j = strip->count - 1; i < j; i++, j--) {
        struct lab lab = strip->cells[i].lab;
        double u95 = strip->cells[i].u95;

        strip->cells[i].lab = strip->cells[j].lab;
        strip->cells[i].u95 = strip->cells[j].u95;
        strip->cells[j].lab = lab;
        strip->cells[j].u95 = u95;
    }
}

static enum status check_end(const struct blending *blending, const struct range_ink *ink,
                             struct lab end, struct error *error)
{
    double off = colour_delta_e_2000(ink->lab, end);

    if (off > OTHER_END)
        return error_set(error, STATUS_QUALITY,
                         "%s: the end that should be '%s' is %.1f delta E from it; see that the "
                         "inks are named right and each end is one ink alone",
                         blending->photo.path, ink->name, off);
    if (off > UNLIKE_END)
        fprintf(stderr, "woad: %s: the end that should be '%s' is %.1f delta E from it\n",
                blending->photo.path, ink->name, off);
    return STATUS_OK;
}

/* The strip may lie either way; the inks' known colours tell which end is which. */
static enum status find_direction(struct blending *blending, struct error *error)
{
    struct inventory_strip *strip = &blending->strip;
    const struct range_ink *first = ink_named(blending, strip->first);
    const struct range_ink *second = ink_named(blending, strip->second);
    struct lab left = strip->cells[0].lab, right = strip->cells[strip->count - 1].lab;
    enum status status;

    if (!first || !second) {
        fprintf(stderr,
                "woad: %s: not both inks have a colour yet, so the left end is taken for "
                "'%s'\n",
                blending->photo.path, strip->first);
        return STATUS_OK;
    }
    if (colour_delta_e_2000(first->lab, right) + colour_delta_e_2000(second->lab, left) <
        colour_delta_e_2000(first->lab, left) + colour_delta_e_2000(second->lab, right)) {
        turn_strip(strip);
        fprintf(stderr, "woad: %s: the strip runs from right to left\n", blending->photo.path);
    }
    status = check_end(blending, first, strip->cells[0].lab, error);
    if (!status)
        status = check_end(blending, second, strip->cells[strip->count - 1].lab, error);
    return status;
}

/* --- what it teaches ------------------------------------------------------------------------ */

static enum status add_cell(const struct blend_ink ends[2], const struct inventory_blend_cell *cell,
                            const struct blend_habit *habit, struct table *table,
                            struct combine_offs *offs, struct error *error)
{
    struct reflectance_observer observer = reflectance_observer_d50();
    struct blend_habit plain = blend_habit_unknown();
    struct blend_forecast laws =
        blend_forecast_at(&observer, &ends[0], &ends[1], cell->second_share, &plain);
    struct blend_forecast learnt =
        blend_forecast_at(&observer, &ends[0], &ends[1], cell->second_share, habit);

    for (int law = 0; law < BLEND_LAWS; law++)
        offs->by_law[law] = colour_delta_e_2000(laws.by_law[law], cell->lab);
    offs->learnt = offs->lone ? NAN : colour_delta_e_2000(learnt.lab, cell->lab);
    return combine_rows_strip_add(cell, offs, table, error);
}

static void tell(const struct blending *blending, const struct blend_habit *habit,
                 const struct combine_offs *mean, FILE *out)
{
    const struct inventory_strip *strip = &blending->strip;
    enum blend_law nearer = mean->by_law[BLEND_KUBELKA_MUNK] < mean->by_law[BLEND_GEOMETRIC]
                                ? BLEND_KUBELKA_MUNK
                                : BLEND_GEOMETRIC;

    fprintf(out,
            "'%s' and '%s' blend nearest to the %s law: off by %.2f delta E, the other by %.2f.\n",
            strip->first, strip->second, blend_law_name(nearer), mean->by_law[nearer],
            mean->by_law[1 - (int)nearer]);
    if (!mean->lone)
        fprintf(out, "As learnt from this strip its cells are off by %.2f.\n", mean->learnt);
    fprintf(out,
            "Learnt: %.2f of the way from Kubelka-Munk to the geometric mean; the second ink "
            "counts %.2f times its share.\n",
            habit->lean, habit->strength);
    if (blending->place.rows > 1)
        fprintf(out,
                "The rows differ by %.2f delta E from their mean: so far one blend is like "
                "another.\n",
                blending->between_rows);
}

static enum status print_lesson(const struct blending *blending, const struct blend_habit *habit,
                                struct error *error)
{
    const struct inventory_strip *strip = &blending->strip;
    struct reflectance_observer observer = reflectance_observer_d50();
    struct table table = {0};
    FILE *out = blending->settings->format == TABLE_TEXT ? stdout : stderr;
    struct blend_ink ends[2];
    struct combine_offs mean = {.lone = strip->count == 3};
    enum status status = blend_ink_prepare(&observer, strip->cells[0].lab, 0, &ends[0], error);

    if (!status)
        status =
            blend_ink_prepare(&observer, strip->cells[strip->count - 1].lab, 0, &ends[1], error);
    for (size_t i = 0; !status && i < strip->count; i++) {
        double blended = (double)(strip->count - 2);
        struct combine_offs offs = {.lone = mean.lone};

        status = add_cell(ends, &strip->cells[i], habit, &table, &offs, error);
        for (int law = 0; !status && law < BLEND_LAWS; law++)
            mean.by_law[law] += offs.by_law[law] / blended;
        mean.learnt += status ? 0 : offs.learnt / blended;
    }
    if (!status) {
        tell(blending, habit, &mean, out);
        if (out == stdout)
            putchar('\n');
        status = commands_print(&table, blending->settings->format, error);
    }
    table_release(&table);
    return status;
}

static enum status store(const struct blending *blending, struct error *error)
{
    char path[INVENTORY_PATH_SIZE];
    struct inventory *inventory = NULL;
    enum status status = inventory_location(blending->settings->inventory, path, error);

    if (!status)
        status = inventory_open(path, INVENTORY_WRITE, &inventory, error);
    if (!status)
        status = inventory_add_strip(inventory, &blending->strip, error);
    if (!status)
        fprintf(stderr, "woad: %s: the test blend is stored in %s\n", blending->photo.path, path);
    inventory_close(inventory);
    return status;
}

/* --- all of it ------------------------------------------------------------------------------ */

static enum status check_inks(const struct measured_range *measured, char **inks,
                              struct error *error)
{
    const struct range_ink *ink = NULL;
    enum status status = range_find(&measured->range, inks[0], &ink, error);

    if (!status)
        status = range_find(&measured->range, inks[1], &ink, error);
    if (!status && utf8_same(inks[0], inks[1]))
        status = error_set(error, STATUS_USAGE, "a test blend is of two inks, '%s' was named twice",
                           inks[0]);
    return status;
}

/* Take the blend at its place, tell what it teaches, and keep it. */
static enum status take_strip(struct blending *blending, char *first, char *second,
                              struct error *error)
{
    struct blend_habit habit;
    enum status status;

    blending->between_rows = 0;
    blending->strip = (struct inventory_strip){.first = first,
                                               .second = second,
                                               .photo = blending->photo.path,
                                               .hash = blending->photo.hash,
                                               .taken = blending->photo.taken};
    status = take_cells(blending, error);
    if (!status)
        status = find_direction(blending, error);
    if (!status)
        status = blend_log_learn(&blending->strip, &habit, error);
    if (!status && !blending->settings->dry_run)
        status = store(blending, error);
    return status ? status : print_lesson(blending, &habit, error);
}

static enum status measure_named(struct blending *blending, char **inks, struct error *error)
{
    enum status status = check_inks(blending->measured, inks, error);

    if (!status)
        status = measure(blending, error);
    blending->place =
        (struct blend_place){.rows = blending->settings->rows, .cells = blending->settings->cells};
    return status ? status : take_strip(blending, inks[0], inks[1], error);
}

/* --- printed strips ------------------------------------------------------------------------- */

/* How many cells of a strip hold ink. */
static int cells_inked(const struct blending *blending)
{
    int inked = 0;

    for (int column = 0; column < blending->place.cells; column++)
        inked += reading_at(blending, 0, column)->found == CELL_INK;
    return inked;
}

/* From each named cell of a row to the next one lies a test blend; those without ink wait. */
static enum status take_row(struct blending *blending, int sheet, int row, int *taken,
                            struct error *error)
{
    struct names *names = &blending->sheets.items[sheet].names;
    struct name *cells = &names->cells[row * names->columns];
    enum status status = STATUS_OK;
    int from = -1;

    for (int column = 0; !status && column < names->columns; column++) {
        if (!cells[column].ink[0])
            continue;
        blending->place = (struct blend_place){sheet, row, 1, from, column - from + 1};
        if (from >= 0 && column - from > 1 && cells_inked(blending)) {
            if ((*taken)++ && blending->settings->format == TABLE_TEXT)
                putchar('\n');
            status = take_strip(blending, cells[from].ink, cells[column].ink, error);
        }
        from = column;
    }
    return status;
}

static enum status measure_printed(struct blending *blending, const char *inventory_path,
                                   struct error *error)
{
    int taken = 0;
    enum status status =
        photo_sheet_find(&blending->photo, inventory_path, &blending->sheets, error);

    if (!status && !blending->sheets.count)
        status = error_set(error, STATUS_USAGE,
                           "%s: shows no strip that this inventory printed; name the two inks that "
                           "were blended: woad combinations measure PHOTO INK INK",
                           blending->photo.path);
    if (!status)
        status = measure(blending, error);
    for (int i = 0; !status && i < blending->sheets.count; i++)
        for (int row = 0; !status && row < blending->sheets.items[i].names.rows; row++)
            status = take_row(blending, i, row, &taken, error);
    if (status || taken)
        return status;
    return error_set(error, STATUS_QUALITY, "%s: no strip on it is blended yet",
                     blending->photo.path);
}

enum status combinations_measure(const struct combinations_settings *settings, const char *photo,
                                 char **inks, struct error *error)
{
    char inventory_path[INVENTORY_PATH_SIZE];
    struct measured_range measured = {0};
    struct blending blending = {.settings = settings, .measured = &measured};
    enum status status = inventory_location(settings->inventory, inventory_path, error);

    if (!status)
        status = measured_range_load(settings->inventory, &measured, error);
    if (!status)
        status = read(&blending, photo, error);
    if (!status)
        status = inks ? measure_named(&blending, inks, error)
                      : measure_printed(&blending, inventory_path, error);
    measurement_release(&blending.measurement);
    photo_sheet_release(&blending.sheets);
    photo_release(&blending.photo);
    measured_range_release(&measured);
    return status;
}
