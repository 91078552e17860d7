#include "inventory/changes.h"
#include "output/view_photo.h"
#include "base/memory.h"
#include "base/utf8.h"
#include "photo_form.h"
#include "tray.h"
#include "values/calendar.h"
#include "visit.h"

#include <stdlib.h>
#include <string.h>
#include <time.h>
#include <unistd.h>

/* A photo comes in, is looked at with what was found in it, told of, and kept. */

#define CORNERS_TEXT_SIZE 160
#define PICTURE_PIXELS_MAX 1000000LL /* of the small picture: enough for a window's width */

/* --- those that came in ----------------------------------------------------------------------- */

static enum status show_photos(struct visit *visit, const struct tray_list *list,
                               struct error *error)
{
    struct view_waiting *photos =
        memory_array(list->count + 1, sizeof *photos, "the photos", error);

    if (!photos)
        return error->status;
    for (size_t i = 0; i < list->count; i++)
        photos[i] =
            (struct view_waiting){list->items[i].id, fields_value(&list->items[i].told, "name"),
                                  fields_value(&list->items[i].told, "kept")[0] != '\0'};
    view_photos(visit->out, &visit->frame, photos, list->count);
    free(photos);
    return STATUS_OK;
}

enum status visit_photos(struct visit *visit, struct error *error)
{
    struct tray_list list = {0};
    enum status status;

    visit->frame.here = "/photos";
    status = visit_begin(visit, "Photos", error);
    if (!status)
        status = tray_read(visit->page->inventory_path, &list, error);
    if (!status)
        status = show_photos(visit, &list, error);
    if (!status)
        visit_end(visit);
    tray_list_release(&list);
    return status;
}

enum status visit_clear(struct visit *visit, struct error *error)
{
    bool all = strcmp(fields_value(&visit->form, "do"), "clear-all") == 0;
    struct tray_list list = {0};
    enum status status = tray_read(visit->page->inventory_path, &list, error);

    for (size_t i = 0; !status && i < list.count; i++)
        if (all || fields_value(&list.items[i].told, "kept")[0])
            tray_drop(visit->page->inventory_path, list.items[i].id);
    tray_list_release(&list);
    if (!status)
        visit_go(visit, "/photos");
    return status;
}

/* --- one comes in ----------------------------------------------------------------------------- */

/* What was told of the photo before this one is likely to hold again. */
static enum status tell_as_last(struct visit *visit, struct text *text, struct error *error)
{
    static const char *const lasting[] = {"paper", "card"};
    struct tray_list list = {0};
    enum status status = tray_read(visit->page->inventory_path, &list, error);

    for (size_t i = 0; !status && list.count && i < sizeof lasting / sizeof *lasting; i++) {
        const char *value = fields_value(&list.items[0].told, lasting[i]);

        status = text_add(text, error, "&%s=", lasting[i]);
        for (; !status && *value; value++)
            status = text_add(text, error, "%%%02X", (unsigned char)*value);
    }
    tray_list_release(&list);
    return status;
}

static enum status take(struct visit *visit, struct error *error)
{
    struct text text = {0};
    struct fields last = {0};
    char id[TRAY_ID_SIZE];
    enum status status =
        text_add(&text, error, "came=%012lld%s", (long long)calendar_now().utc_seconds,
                 visit->request->by_phone ? "&by=phone" : "");

    snprintf(id, sizeof id, "%s", visit->request->photo);
    if (!status)
        status = tell_as_last(visit, &text, error);
    if (!status)
        status = fields_read(text.bytes, text.length, &last, error);
    if (!status)
        status = tray_write_told(visit->page->inventory_path, id, &last, &visit->query, error);
    if (!status)
        status = tray_take(visit->page->inventory_path, id, fields_value(&visit->query, "changed"),
                           error);
    if (status)
        tray_drop(visit->page->inventory_path, id);
    fields_release(&last);
    text_release(&text);
    return status;
}

enum status visit_take(struct visit *visit, struct error *error)
{
    enum status status;

    if (!visit->request->photo)
        return error_set(error, STATUS_USAGE, "no photo was sent");
    if (!utf8_is_plain(fields_value(&visit->query, "name")) ||
        strlen(fields_value(&visit->query, "name")) > PHOTO_PATH_BYTES_MAX)
        status = error_set(error, STATUS_USAGE, "the photo's name is no name");
    else
        status = take(visit, error);
    if (status) {
        tray_drop(visit->page->inventory_path, visit->request->photo);
        return status;
    }
    visit->response->status = 201;
    visit->response->type = "text/plain; charset=utf-8";
    if (visit->request->by_phone)
        phone_count(visit->page->phone);
    else
        fprintf(visit->out, "/photo?id=%s", visit->request->photo);
    return STATUS_OK;
}

/* --- its small picture ------------------------------------------------------------------------ */

static enum status make_picture(const struct visit *visit, const char *id, const char *path,
                                struct error *error)
{
    char photo_path[TRAY_PATH_SIZE];
    struct photo photo = {0};
    enum status status;

    tray_path(visit->page->inventory_path, id, "photo", photo_path);
    queue_enter(visit->page->measuring);
    if (access(path, R_OK) == 0) { /* another request was quicker */
        queue_leave(visit->page->measuring);
        return STATUS_OK;
    }
    status = photo_read(photo_path, PICTURE_PIXELS_MAX, &photo, error);
    if (!status)
        status = photo_write_srgb(path, &photo.image, error);
    photo_release(&photo);
    queue_leave(visit->page->measuring);
    return status;
}

enum status visit_picture(struct visit *visit, struct error *error)
{
    const char *id = fields_value(&visit->query, "id");
    char path[TRAY_PATH_SIZE];
    enum status status = STATUS_OK;

    if (!tray_is_id(id))
        return error_set(error, STATUS_USAGE, "that is no photo's id");
    tray_path(visit->page->inventory_path, id, "jpg", path);
    if (access(path, R_OK) != 0)
        status = make_picture(visit, id, path, error);
    if (status)
        return status;
    visit->response->lasting = true;
    return visit_send_file(visit, path, "image/jpeg", error);
}

/* --- what was found in it --------------------------------------------------------------------- */

/* A photo on its way, with what the form tells of it. */
struct visited_photo {
    const char *id;
    struct fields told;
    struct photo_form form;
    struct measured_photo measured;
    enum status status; /* of measuring it */
    struct error error;
};

/* The messages call a file by its name, not by where it lies. */
static void name_rightly(struct visited_photo *photo, const char *path, const char *name)
{
    const char *at = strstr(photo->error.message, path);
    struct error inner = photo->error;

    if (!photo->status || !at)
        return;
    error_set(&photo->error, inner.status, "%.*s%s%s", (int)(at - photo->error.message),
              inner.message, name, inner.message + (at - photo->error.message) + strlen(path));
}

static void measure(struct visit *visit, struct visited_photo *photo)
{
    const char *inventory_path = visit->page->inventory_path;
    char path[TRAY_PATH_SIZE], names_path[TRAY_PATH_SIZE];

    tray_path(inventory_path, photo->id, "photo", path);
    tray_path(inventory_path, photo->id, "csv", names_path);
    photo->status =
        photo_form_read(&photo->told, visit->page, names_path, &photo->form, &photo->error);
    name_rightly(photo, names_path, "the names");
    if (photo->status)
        return;
    queue_enter(visit->page->measuring);
    photo->status = measured_photo_read(path, &photo->form.told, inventory_path, &photo->measured,
                                        &photo->error);
    utf8_show(fields_value(&photo->told, "name"), photo->measured.photo.path,
              sizeof photo->measured.photo.path);
    if (!photo->status)
        photo->status = measured_photo_measure(&photo->measured, &photo->error);
    queue_leave(visit->page->measuring);
    name_rightly(photo, path, fields_value(&photo->told, "name"));
}

static void release(struct visited_photo *photo)
{
    measured_photo_release(&photo->measured);
    photo_form_release(&photo->form);
    fields_release(&photo->told);
}

/* Names come from the form; where it has none yet, from a printed sheet's marks. */
static const char *ink_of(const struct visited_photo *photo, const struct reading *reading)
{
    const struct names *names = measured_photo_names(&photo->measured, 0);
    char field[32];
    const char *ink;

    snprintf(field, sizeof field, "ink-%d-%d", reading->row, reading->column);
    ink = fields_value(&photo->told, field);
    return !ink[0] && names && names != &photo->form.names
               ? names_at(names, reading->row, reading->column)->ink
               : ink;
}

static bool is_ticked(const struct visited_photo *photo, const char *what,
                      const struct reading *reading)
{
    char field[32];

    snprintf(field, sizeof field, "%s-%d-%d", what, reading->row, reading->column);
    return fields_value(&photo->told, field)[0] != '\0';
}

static enum status fill_cells(const struct visited_photo *photo, struct view_cell **cells,
                              struct error *error)
{
    const struct measured_chart *chart = &photo->measured.measurement.charts[0];
    int count = chart->pose.rows * chart->pose.columns;

    *cells = NULL;
    if (photo->status || !chart->readings)
        return STATUS_OK;
    *cells = memory_array((size_t)count, sizeof **cells, "the cells", error);
    for (int i = 0; *cells && i < count; i++)
        (*cells)[i] = (struct view_cell){ink_of(photo, &chart->readings[i]),
                                         is_ticked(photo, "wet", &chart->readings[i]),
                                         is_ticked(photo, "out", &chart->readings[i])};
    return *cells ? STATUS_OK : error->status;
}

/* Rows and columns stand in the form once they were found, so that names have a layout. */
static void show_size(const struct visited_photo *photo, char rows[12], char columns[12])
{
    const struct chart_pose *pose = &photo->measured.measurement.charts[0].pose;

    snprintf(rows, 12, "%.11s", fields_value(&photo->told, "rows"));
    snprintf(columns, 12, "%.11s", fields_value(&photo->told, "columns"));
    if (!photo->status) {
        snprintf(rows, 12, "%d", pose->rows);
        snprintf(columns, 12, "%d", pose->columns);
    }
}

static struct view_photo shown_photo(const struct visited_photo *photo)
{
    const struct fields *told = &photo->told;

    return (struct view_photo){.id = photo->id,
                               .measured = &photo->measured,
                               .refusal = photo->status ? photo->error.message : NULL,
                               .kept = fields_value(told, "kept")[0] != '\0',
                               .old_card = strcmp(fields_value(told, "card"), "1") == 0,
                               .name = fields_value(told, "name"),
                               .came = fields_value(told, "came"),
                               .changed = fields_value(told, "changed"),
                               .chart = fields_value(told, "chart"),
                               .batch = fields_value(told, "batch"),
                               .paper = fields_value(told, "paper"),
                               .at = fields_value(told, "at"),
                               .inked_at = fields_value(told, "inked_at"),
                               .card_at = fields_value(told, "card_at"),
                               .chart_at = fields_value(told, "chart_at"),
                               .laid = fields_value(told, "laid"),
                               .again = fields_value(told, "again"),
                               .fresh = fields_value(told, "new")};
}

/* A printed sheet's own title and place stand in the form, so that they hold when names are mended.
 */
static void tell_sheet(const struct visited_photo *photo, char title[MEASURED_PHOTO_CHART_SIZE],
                       char corners[CORNERS_TEXT_SIZE], struct view_photo *shown)
{
    const struct photo_sheets *sheets = &photo->measured.sheets;
    const struct quad *quad = &photo->measured.measurement.charts[0].pose.corners;
    double scale = photo->measured.photo.scale;
    int length = 0;

    if (photo->status || !sheets->count)
        return;
    snprintf(title, MEASURED_PHOTO_CHART_SIZE, "%.200s, sheet %d", sheets->items[0].title,
             sheets->items[0].number);
    for (int i = 0; i < 4; i++)
        length += snprintf(corners + length, CORNERS_TEXT_SIZE - (size_t)length, "%s%.1f,%.1f",
                           i ? "," : "", quad->corner[i].x * scale, quad->corner[i].y * scale);
    shown->chart_at = corners;
    if (!shown->chart[0])
        shown->chart = title;
}

static enum status write_photo(struct visit *visit, const struct visited_photo *photo,
                               const struct inventory_inks *inks, struct error *error)
{
    char rows[12], columns[12], title[MEASURED_PHOTO_CHART_SIZE], corners[CORNERS_TEXT_SIZE];
    struct view_photo shown = shown_photo(photo);
    struct view_cell *cells = NULL;
    enum status status = fill_cells(photo, &cells, error);

    show_size(photo, rows, columns);
    tell_sheet(photo, title, corners, &shown);
    shown.rows = rows;
    shown.columns = columns;
    shown.cells = cells;
    shown.inks = inks;
    if (!status)
        view_photo(visit->out, &visit->frame, &shown);
    free(cells);
    return status;
}

static enum status read_inks(const struct visit *visit, struct inventory_inks *inks,
                             struct error *error)
{
    struct inventory *inventory = NULL;
    enum status status =
        inventory_open(visit->page->inventory_path, INVENTORY_READ, &inventory, error);

    if (!status)
        status = inventory_read_names(inventory, inks, error);
    inventory_close(inventory);
    return status;
}

/* `notice` is why it was not kept, or NULL. */
static enum status show_photo(struct visit *visit, const struct visited_photo *photo,
                              const char *notice, struct error *error)
{
    struct inventory_inks inks = {0};
    enum status status = read_inks(visit, &inks, error);

    visit->frame.here = "/photos";
    visit->frame.notice = notice;
    photo_form_tell_command(visit, &photo->told);
    if (!status)
        status = visit_begin(visit, fields_value(&photo->told, "name"), error);
    if (!status)
        status = write_photo(visit, photo, &inks, error);
    if (!status)
        visit_end(visit);
    inventory_inks_release(&inks);
    return status;
}

/* What came over the network is shown, and measured only when that is said to be right. */
static enum status ask_first(struct visit *visit, const struct visited_photo *photo,
                             struct error *error)
{
    enum status status;

    visit->frame.here = "/photos";
    status = visit_begin(visit, fields_value(&photo->told, "name"), error);
    if (status)
        return status;
    view_asking(visit->out, &visit->frame, photo->id);
    visit_end(visit);
    return STATUS_OK;
}

enum status visit_photo(struct visit *visit, struct error *error)
{
    struct visited_photo photo = {.id = fields_value(&visit->query, "id")};
    const char *kept;
    char notice[200];
    enum status status = tray_read_told(visit->page->inventory_path, photo.id, &photo.told, error);

    if (!status && fields_value(&photo.told, "by")[0]) {
        status = ask_first(visit, &photo, error);
    } else if (!status) {
        measure(visit, &photo);
        kept = fields_value(&photo.told, "kept");
        snprintf(notice, sizeof notice, "Kept: %.20s readings are in the inventory.", kept);
        status = show_photo(visit, &photo, kept[0] ? notice : NULL, error);
    }
    release(&photo);
    return status;
}

/* --- what is done with it --------------------------------------------------------------------- */

/* Write down what the form tells; what `anew` says stands for what it says of the same. */
static enum status note(struct visit *visit, const char *id, const struct text *anew,
                        const struct fields *told, struct error *error)
{
    struct fields fields = {0};
    enum status status = fields_read(anew->bytes, anew->length, &fields, error);

    if (!status)
        status = tray_write_told(visit->page->inventory_path, id, &fields, told, error);
    fields_release(&fields);
    return status;
}

static enum status keep(struct visit *visit, struct visited_photo *photo, struct error *error)
{
    struct measured_photo_stored stored[CHARTS_MAX];
    struct text anew = {0};
    int readings = 0;
    enum status status;

    photo_form_mark_wet(&photo->told, &photo->measured.photo.taken, &photo->form);
    status = measured_photo_store(&photo->measured, visit->page->inventory_path, stored, error);
    for (int i = 0; !status && i < photo->measured.measurement.chart_count; i++)
        readings += stored[i].outcome.readings;
    if (!status)
        status = text_add(&anew, error, "kept=%d&hash=%s", readings, photo->measured.photo.hash);
    if (!status)
        status = note(visit, photo->id, &anew, &photo->told, error);
    text_release(&anew);
    return status;
}

/* What can't be kept is shown with the reason, and all that was told of it. */
static enum status keep_or_show(struct visit *visit, const char *id, struct error *error)
{
    struct visited_photo photo = {.id = id};
    struct error unkept;
    enum status status = tray_read_told(visit->page->inventory_path, id, &photo.told, error);

    if (!status) {
        measure(visit, &photo);
        unkept = photo.error;
        if (!photo.status && keep(visit, &photo, &unkept) == STATUS_OK) {
            visit_go(visit, "/photo?id=%s", id);
        } else {
            visit->response->status = 409;
            status = show_photo(visit, &photo, unkept.message, error);
        }
    }
    release(&photo);
    return status;
}

/* The chart's first cell becomes the next corner, once for each quarter. */
static enum status turn(struct visit *visit, const char *id, int quarters, struct error *error)
{
    const struct fields *form = &visit->form;
    const char *rows = fields_value(form, "rows"), *columns = fields_value(form, "columns");
    struct told_corners corners = {.given = false};
    struct text anew = {0};
    enum status status = told_corners_parse(fields_value(form, "found_chart"),
                                            "the chart's corners", &corners, error);

    for (int i = 0; !status && i < 4; i++) {
        const struct point *corner = &corners.quad.corner[(i + quarters) % 4];

        status =
            text_add(&anew, error, "%s%.1f%%2C%.1f", i ? "%2C" : "chart_at=", corner->x, corner->y);
    }
    if (!status)
        status = text_add(&anew, error, "&rows=%.4s&columns=%.4s", quarters % 2 ? columns : rows,
                          quarters % 2 ? rows : columns);
    if (!status)
        status = note(visit, id, &anew, form, error);
    text_release(&anew);
    if (!status)
        visit_go(visit, "/photo?id=%s", id);
    return status;
}

/* What was told of the cells and the places of one chart is nothing to another. */
static enum status other_chart(struct visit *visit, const char *id, struct error *error)
{
    static const char *const lasting[] = {"name",  "came",     "changed", "paper", "card",
                                          "batch", "inked_at", "at",      "which"};
    const char *names[sizeof lasting / sizeof *lasting], *values[sizeof lasting / sizeof *lasting];
    const struct text none = {0};
    struct fields told = {.names = names, .values = values};
    enum status status;

    for (size_t i = 0; i < sizeof lasting / sizeof *lasting; i++) {
        names[told.count] = lasting[i];
        values[told.count++] = fields_value(&visit->form, lasting[i]);
    }
    status = note(visit, id, &none, &told, error);
    if (!status)
        visit_go(visit, "/photo?id=%s", id);
    return status;
}

static enum status lay(struct visit *visit, const char *id, struct error *error)
{
    struct text anew = {0};
    enum status status = photo_form_lay_out(&visit->form, &anew, error);

    if (!status)
        status = note(visit, id, &anew, &visit->form, error);
    text_release(&anew);
    if (!status)
        visit_go(visit, "/photo?id=%s", id);
    return status;
}

static enum status forget(struct visit *visit, const char *id, const struct fields *told,
                          struct error *error)
{
    const struct text anew = {0};
    struct inventory *inventory = NULL;
    struct inventory_told done;
    enum status status =
        inventory_open(visit->page->inventory_path, INVENTORY_WRITE, &inventory, error);

    if (!status)
        status =
            inventory_forget(inventory, INVENTORY_PHOTO, fields_value(told, "hash"), &done, error);
    inventory_close(inventory);
    if (!status) /* the form does not say that it is kept */
        status = note(visit, id, &anew, &visit->form, error);
    if (!status)
        visit_go(visit, "/photo?id=%s", id);
    return status;
}

static void drop(struct visit *visit, const char *id)
{
    tray_drop(visit->page->inventory_path, id);
    visit_go(visit, "/photos");
}

/* Of readings that are kept the form says nothing, but the photo is not forgotten to be so. */
static enum status note_form(struct visit *visit, const char *id, const struct fields *told,
                             struct error *error)
{
    const char *hash = fields_value(told, "hash");
    struct text anew = {0};
    enum status status =
        text_add(&anew, error, "%s%s%s%s", hash[0] ? "kept=" : "",
                 hash[0] ? fields_value(told, "kept") : "", hash[0] ? "&hash=" : "", hash);

    if (!status)
        status = note(visit, id, &anew, &visit->form, error);
    text_release(&anew);
    return status;
}

static enum status look_or_keep(struct visit *visit, const char *id, const struct fields *told,
                                struct error *error)
{
    enum status status = note_form(visit, id, told, error);

    if (!status && strcmp(fields_value(&visit->form, "do"), "keep") == 0)
        return keep_or_show(visit, id, error);
    if (!status)
        visit_go(visit, "/photo?id=%s", id);
    return status;
}

/* From then on nothing of it tells that it came from a phone. */
static enum status accept(struct visit *visit, const char *id, const struct fields *told,
                          struct error *error)
{
    struct text anew = {0};
    enum status status = text_add(&anew, error, "by=");

    if (!status)
        status = note(visit, id, &anew, told, error);
    text_release(&anew);
    if (!status)
        visit_go(visit, "/photo?id=%s", id);
    return status;
}

enum status visit_tell(struct visit *visit, struct error *error)
{
    const char *id = fields_value(&visit->query, "id");
    const char *deed = fields_value(&visit->form, "do");
    struct fields told = {0};
    enum status status = tray_read_told(visit->page->inventory_path, id, &told, error);

    if (!status && strcmp(deed, "forget") == 0)
        status = forget(visit, id, &told, error);
    else if (!status && strcmp(deed, "drop") == 0)
        drop(visit, id);
    else if (!status && strcmp(deed, "accept") == 0)
        status = accept(visit, id, &told, error);
    else if (!status && strcmp(deed, "half-turn") == 0)
        status = turn(visit, id, 2, error);
    else if (!status && strcmp(deed, "quarter-turn") == 0)
        status = turn(visit, id, 1, error);
    else if (!status && strcmp(deed, "other-chart") == 0)
        status = other_chart(visit, id, error);
    else if (!status && strcmp(deed, "lay") == 0)
        status = lay(visit, id, error);
    else if (!status)
        status = look_or_keep(visit, id, &told, error);
    fields_release(&told);
    return status;
}
