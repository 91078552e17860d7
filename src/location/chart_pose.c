#include "location/chart_pose.h"

#include "base/memory.h"
#include "chart_cells.h"
#include "location/chart_names.h"
#include "sheet.h"
#include "sheet_clean.h"
#include "sheet_grow.h"
#include "sheet_paper.h"
#include "vision/lattice.h"

#include <math.h>
#include <stdbool.h>
#include <stdlib.h>

#define OTHER_INK_MIN 0.15 /* of the most: a sheet with less is no second chart */
#define OTHER_NODES_MIN 6
#define LEFTOVER_MIN 2 /* cells beside the chart that make its rows and columns doubtful */

/* --- the sheets of a photo ------------------------------------------------------------------ */

/* The regions that do not lie on a card or its frame, or the inked ones of them; still sorted by x.
 */
static enum status regions_off_cards(const struct view *view, bool inked, struct regions *off,
                                     struct error *error)
{
    off->count = 0;
    if (!off->items)
        off->items = memory_array(view->regions->count, sizeof *off->items, "regions", error);
    if (!off->items)
        return error->status;
    for (size_t i = 0; i < view->regions->count; i++) {
        const struct region *region = &view->regions->items[i];

        if (!view_on_card(view, region->centre) &&
            (!inked || sheet_region_is_ink(view->photo, region)))
            off->items[off->count++] = *region;
    }
    return STATUS_OK;
}

/* Find lattices among the inked regions alone, then among all: labels and the paper between cells
 * make regions too, and a lattice that rests on them lies askew; where cells are pale, ink tells
 * little. */
static enum status find_lattices(const struct view *view, struct lattices *lattices,
                                 struct error *error)
{
    struct regions off = {0};
    enum status status = regions_off_cards(view, true, &off, error);

    if (!status)
        status = lattice_find_all(&off, lattices, error);
    if (!status)
        status = regions_off_cards(view, false, &off, error);
    if (!status)
        status = lattice_find_all(&off, lattices, error);
    regions_release(&off);
    return status;
}

/* Make each lattice a sheet, and clean them all, also those that are cut off others; they may move
 * in memory meanwhile. */
static enum status find_sheets(const struct view *view, struct sheets *sheets, struct error *error)
{
    struct lattices lattices = {0};
    enum status status = find_lattices(view, &lattices, error);

    for (size_t i = 0; !status && i < lattices.count; i++) {
        status = sheets_add(view, &lattices.items[i], sheets, error);
        lattices.items[i].nodes = NULL;
    }
    lattices_release(&lattices);
    for (size_t i = 0; !status && i < sheets->count; i++) {
        struct sheet sheet = sheets->items[i];

        status = sheet_clean(&sheet, sheets, error);
        sheets->items[i] = sheet;
    }
    return status;
}

/* --- which of them are charts --------------------------------------------------------------- */

struct choice {
    struct sheet *sheet;
    double ink; /* square pixels */
    int number; /* from 1: side by side the left one first, else the upper one */
};

/* The sheets that are charts, most ink first: none over another. */
struct choices {
    struct choice items[CHARTS_MAX];
    int count;
};

/* How much ink a sheet shows, in square pixels; less where it leaves places bare, as one laid
 * askew over the chart does. */
static double ink_of(const struct sheet *sheet)
{
    const struct lattice *lattice = &sheet->lattice;
    double ink = 0;
    size_t inked = 0;

    if (lattice->count < SHEET_NODES_MIN)
        return 0;
    for (size_t i = 0; i < lattice->count; i++) {
        const struct lattice_node *node = &lattice->nodes[i];

        if (sheet_ink(sheet, node->at[AXIS_COLUMN], node->at[AXIS_ROW]) == INK_SEEN) {
            ink += node->region.area_px;
            inked++;
        }
    }
    return ink * ((double)inked / ((double)lattice->lines[AXIS_ROW] * lattice->lines[AXIS_COLUMN]));
}

/* Whether two sheets lie over one another: then they are two readings of one chart. */
static bool overlap(const struct sheet *a, const struct sheet *b)
{
    struct quad bounds_a = sheet_bounds(a), bounds_b = sheet_bounds(b);

    for (size_t i = 0; i < b->lattice.count; i++)
        if (quad_contains(&bounds_a, b->lattice.nodes[i].region.centre))
            return true;
    for (size_t i = 0; i < a->lattice.count; i++)
        if (quad_contains(&bounds_b, a->lattice.nodes[i].region.centre))
            return true;
    return false;
}

/* Insert a sheet among the choices, most ink first, and drop those with less that it covers. */
static void insert(struct choices *choices, struct sheet *sheet, double ink)
{
    int kept = 0;

    for (int i = 0; i < choices->count; i++)
        if (choices->items[i].ink >= ink && overlap(choices->items[i].sheet, sheet))
            return;
    for (int i = 0; i < choices->count; i++)
        if (!overlap(choices->items[i].sheet, sheet))
            choices->items[kept++] = choices->items[i];
    choices->count = kept < CHARTS_MAX ? kept + 1 : CHARTS_MAX;
    kept = choices->count - 1;
    for (; kept > 0 && choices->items[kept - 1].ink < ink; kept--)
        choices->items[kept] = choices->items[kept - 1];
    choices->items[kept] = (struct choice){sheet, ink, 0};
}

/* A second chart must be one clearly: clutter can hold a few squares of ink in rows. */
static void drop_faint(struct choices *choices)
{
    int kept = 0;

    for (int i = 0; i < choices->count; i++)
        if (i == 0 || (choices->items[i].ink > OTHER_INK_MIN * choices->items[0].ink &&
                       choices->items[i].sheet->lattice.count >= OTHER_NODES_MIN))
            choices->items[kept++] = choices->items[i];
    choices->count = kept;
}

/* Side by side the left one comes first, else the upper one. */
static bool comes_before(const struct sheet *a, const struct sheet *b)
{
    struct quad bounds_a = sheet_bounds(a), bounds_b = sheet_bounds(b);
    struct point middle_a = quad_centre(&bounds_a), middle_b = quad_centre(&bounds_b);

    if (fabs(middle_a.x - middle_b.x) > fabs(middle_a.y - middle_b.y))
        return middle_a.x < middle_b.x;
    return middle_a.y < middle_b.y;
}

static void number(struct choices *choices)
{
    for (int i = 0; i < choices->count; i++) {
        choices->items[i].number = 1;
        for (int j = 0; j < choices->count; j++)
            choices->items[i].number +=
                j != i && comes_before(choices->items[j].sheet, choices->items[i].sheet);
    }
}

/* Whether columns and rows mostly follow at one pitch, as also in groups; one laid askew over
 * charts takes in all that stands in line with it, at any distance. */
static bool is_regular(const struct lattice *lattice)
{
    for (enum axis axis = AXIS_COLUMN; axis < AXES; axis++)
        if (2 * lattice->gaps[axis].count > lattice->lines[axis])
            return false;
    return true;
}

/* Let each sheet that shows ink take in the columns and rows that stand wider apart, and choose
 * those that are charts; what shows little is no chart and not worth the while. */
static enum status choose(struct sheets *sheets, struct choices *choices, struct error *error)
{
    double *ink = memory_array(sheets->count, sizeof *ink, "charts", error);
    double most = 0;
    enum status status = ink ? STATUS_OK : error->status;

    for (size_t i = 0; !status && i < sheets->count; i++) {
        ink[i] = ink_of(&sheets->items[i]);
        most = fmax(most, ink[i]);
    }
    for (size_t i = 0; !status && i < sheets->count; i++) {
        struct sheet *sheet = &sheets->items[i];

        if (ink[i] <= OTHER_INK_MIN * most)
            continue;
        status = sheet_grow(sheet, error);
        ink[i] = ink_of(sheet);
        if (!status && ink[i] > 0 && is_regular(&sheet->lattice))
            insert(choices, sheet, ink[i]);
    }
    free(ink);
    drop_faint(choices);
    number(choices);
    return status;
}

/* --- the chart asked for -------------------------------------------------------------------- */

/* Look for ink on a sheet, and around it as far as the names might reach. */
static enum status look_for_ink(const struct sheet *sheet, const struct chart_wanted *wanted,
                                struct ink_seen *seen, struct error *error)
{
    const int *lines = sheet->lattice.lines;
    int around = chart_names_reach(lines, wanted);
    int columns = lines[AXIS_COLUMN] + 2 * around, rows = lines[AXIS_ROW] + 2 * around;

    *seen = (struct ink_seen){{lines[AXIS_COLUMN], lines[AXIS_ROW]}, around, NULL};
    if (!wanted->named)
        return STATUS_OK;
    seen->places = memory_array((size_t)columns * (size_t)rows, sizeof *seen->places, "ink", error);
    for (int i = 0; seen->places && i < columns * rows; i++)
        seen->places[i] = sheet_ink(sheet, i % columns - around, i / columns - around);
    return seen->places ? STATUS_OK : error->status;
}

/* Lay the names on a sheet, turn it as it lies, and place its cells. */
static enum status place_sheet(struct sheet *sheet, const struct chart_wanted *wanted,
                               struct chart_pose *pose, struct error *error)
{
    struct ink_seen seen;
    struct chart_lay lay = {0};
    enum status status = look_for_ink(sheet, wanted, &seen, error);

    if (!status)
        status = chart_names_lay(sheet->view->photo->path, &seen, wanted, &lay, error);
    free(seen.places);
    if (!status) {
        lattice_turn(&sheet->lattice, lay.turns);
        status = sheet_fit(sheet, error);
    }
    pose->rows = wanted->rows ? wanted->rows : sheet->lattice.lines[AXIS_ROW];
    pose->columns = wanted->columns ? wanted->columns : sheet->lattice.lines[AXIS_COLUMN];
    return status ? status : chart_cells_place(sheet, &lay, pose, error);
}

/* Place one of the charts behind those placed before. */
static enum status place_choice(const struct choice *choice, const struct chart_wanted *wanted,
                                struct chart_poses *charts, struct error *error)
{
    struct chart_pose *pose = &charts->items[charts->count];
    enum status status = place_sheet(choice->sheet, wanted, pose, error);

    if (status == STATUS_NOT_FOUND) {
        chart_pose_release(pose);
        return status;
    }
    pose->number = choice->number;
    charts->count++;
    return status;
}

static enum status no_chart(const struct view *view, const struct choices *choices,
                            const struct chart_wanted *wanted, struct error *error)
{
    if (!choices->count)
        return error_set(error, STATUS_NOT_FOUND,
                         "%s: the card is there, but no chart: cells of ink in rows and columns "
                         "on white paper were wanted; photograph the whole sheet sharply, or "
                         "give its corners with --chart-at, --rows and --columns",
                         view->photo->path);
    return error_set(error, STATUS_NOT_FOUND,
                     "%s: chart number %d was asked for, but the photo shows %d; charts are "
                     "counted from the left, or from above",
                     view->photo->path, wanted->number, choices->count);
}

/* Place the chart asked for; unnumbered, the one with the most ink that is as it was described. */
static enum status place_wanted(const struct view *view, const struct choices *choices,
                                const struct chart_wanted *wanted, struct chart_poses *charts,
                                struct error *error)
{
    struct error first = {0};

    for (int i = 0; i < choices->count; i++) {
        enum status status;

        if (wanted->number && wanted->number != choices->items[i].number)
            continue;
        status = place_choice(&choices->items[i], wanted, charts, error);
        if (status != STATUS_NOT_FOUND)
            return status;
        first = first.status ? first : *error;
    }
    if (!first.status)
        return no_chart(view, choices, wanted, error);
    *error = first;
    return first.status;
}

static const struct choice *choice_numbered(const struct choices *choices, int number)
{
    int i = 0;

    while (i < choices->count - 1 && choices->items[i].number != number)
        i++;
    return &choices->items[i];
}

static enum status place_every(const struct choices *choices, const struct chart_wanted *wanted,
                               struct chart_poses *charts, struct error *error)
{
    enum status status = STATUS_OK;

    for (int number = 1; !status && number <= choices->count; number++)
        status = place_choice(choice_numbered(choices, number), wanted, charts, error);
    return status;
}

/* Whether the chart might go on past what was found: nobody told its rows and columns, or it was
 * joined of groups, some of which may have been missed. */
static bool may_go_on(const struct chart_wanted *wanted, const struct sheet *sheet)
{
    return (!wanted->named && !wanted->rows) || sheet->lattice.gaps[AXIS_COLUMN].count ||
           sheet->lattice.gaps[AXIS_ROW].count;
}

/* Refuse a chart that seems to go on past what was found, where nobody told how far it goes. */
static enum status refuse_leftover(const struct sheet *sheet, struct error *error)
{
    int rows = sheet->lattice.lines[AXIS_ROW], columns = sheet->lattice.lines[AXIS_COLUMN];
    int count = 0;
    enum status status = sheet_grow_leftover(sheet, &count, error);

    if (!status && count >= LEFTOVER_MIN && 2 * count >= (rows < columns ? rows : columns))
        status = error_set(error, STATUS_NOT_FOUND,
                           "%s: %d rows x %d columns of cells were found, but %d more like them "
                           "lie beside; tell how many there are with --names or --rows and "
                           "--columns, give the corners with --chart-at, or clear away what is no "
                           "part of the sheet",
                           sheet->view->photo->path, rows, columns, count);
    return status;
}

enum status chart_pose_find(const struct view *view, const struct chart_wanted *wanted,
                            struct chart_poses *charts, struct error *error)
{
    struct sheets sheets = {0};
    struct choices choices = {.count = 0};
    enum status status = find_sheets(view, &sheets, error);

    if (!status)
        status = choose(&sheets, &choices, error);
    if (!status)
        status = wanted->every && choices.count
                     ? place_every(&choices, wanted, charts, error)
                     : place_wanted(view, &choices, wanted, charts, error);
    for (int i = 0; i < charts->count; i++) {
        const struct sheet *sheet = choice_numbered(&choices, charts->items[i].number)->sheet;

        charts->items[i].charts = choices.count;
        if (!status && may_go_on(wanted, sheet))
            status = refuse_leftover(sheet, error);
    }
    sheets_release(&sheets);
    return status;
}

enum status chart_pose_from_corners(const struct view *view, const struct quad *corners,
                                    const struct chart_wanted *wanted, struct chart_pose *pose,
                                    struct error *error)
{
    const double rim = 0.5 - SHEET_HALF_DEFAULT;
    struct sheet sheet = {.view = view, .lattice = {.lines = {wanted->columns, wanted->rows}}};
    struct point from[4] = {{rim, rim},
                            {wanted->columns - rim, rim},
                            {wanted->columns - rim, wanted->rows - rim},
                            {rim, wanted->rows - rim}};
    struct homography_points points = {from, corners->corner, NULL, 4, 0};
    enum status status;

    if (wanted->rows < 1 || wanted->columns < 1)
        return error_set(error, STATUS_USAGE,
                         "%s: --chart-at says where the chart lies, but not how many rows and "
                         "columns it has; add --rows and --columns, or --names",
                         view->photo->path);
    status = homography_fit(&points, &sheet.lattice.map, error);
    pose->rows = wanted->rows;
    pose->columns = wanted->columns;
    pose->given = true;
    pose->number = pose->charts = 1;
    if (!status)
        status = sheet_fit(&sheet, error);
    if (!status)
        status = chart_cells_place(&sheet, &(struct chart_lay){0}, pose, error);
    sheet_release(&sheet);
    return status;
}
