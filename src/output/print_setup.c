#include "output/print_setup.h"

#include "base/utf8.h"
#include "output/sheets.h"

#include <stdlib.h>
#include <string.h>
#include <strings.h>

#define PAGE_SIDE_MIN_MM 60

/* --- measures --------------------------------------------------------------------------------- */

static bool between(double value, const struct pair_option *option)
{
    return value >= option->low && value <= option->high;
}

enum status print_setup_pair(const struct pair_option *option, struct point *pair,
                             struct error *error)
{
    struct point read;
    char *end;

    if (!option->text)
        return STATUS_OK;
    read.x = strtod(option->text, &end);
    read.y = *end == 'x' ? strtod(end + 1, &end) : option->low - 1;
    if (*end || !between(read.x, option) || !between(read.y, option))
        return error_set(error, STATUS_USAGE,
                         "--%s takes %stwo measures in mm from %g to %g as 110x65, not '%.60s'",
                         option->name, option->or_names ? option->or_names : "", option->low,
                         option->high, option->text);
    *pair = read;
    return STATUS_OK;
}

enum status print_setup_page(const char *text, bool landscape, struct point *page_mm,
                             struct error *error)
{
    static const struct {
        const char *name;
        struct point mm; /* ISO 216; letter: ASME Y14.1 */
    } pages[] = {{"a4", {210, 297}}, {"a5", {148, 210}}, {"letter", {215.9, 279.4}}};
    const struct pair_option option = {"page", text, PAGE_SIDE_MIN_MM, PAGE_SIDE_MAX_MM,
                                       "a4, a5, letter or "};
    enum status status = STATUS_OK;
    bool known = !text;

    *page_mm = pages[0].mm;
    for (size_t i = 0; !known && i < sizeof pages / sizeof *pages; i++) {
        known = strcasecmp(text, pages[i].name) == 0;
        *page_mm = pages[i].mm;
    }
    if (!known)
        status = print_setup_pair(&option, page_mm, error);
    if (!status && landscape && page_mm->x < page_mm->y)
        *page_mm = (struct point){page_mm->y, page_mm->x};
    return status;
}

/* --- what is kept by name --------------------------------------------------------------------- */

enum status print_setup_load(const char *inventory, struct inventory_setups *setups,
                             struct error *error)
{
    char path[INVENTORY_PATH_SIZE];
    struct inventory *opened = NULL;
    enum status status = inventory_location(inventory, path, error);

    if (!status)
        status = inventory_open(path, INVENTORY_READ, &opened, error);
    if (!status)
        status = inventory_read_setups(opened, setups, error);
    inventory_close(opened);
    return status;
}

enum status print_setup_open(const char *told, struct inventory **inventory, struct error *error)
{
    char path[INVENTORY_PATH_SIZE];
    enum status status = inventory_location(told, path, error);

    *inventory = NULL;
    return status ? status : inventory_open(path, INVENTORY_CREATE, inventory, error);
}

enum status print_setup_printer(const char *inventory, const char *name,
                                struct inventory_printer *printer, struct error *error)
{
    struct inventory_setups setups = {0};
    const struct inventory_printer *found = NULL;
    enum status status = print_setup_load(inventory, &setups, error);

    if (!status)
        status = inventory_setups_printer(&setups, name, &found, error);
    if (!status)
        *printer = *found;
    inventory_setups_release(&setups);
    return status;
}

static enum status kept_stock(const char *inventory, const char *name,
                              struct inventory_stock *stock, struct error *error)
{
    size_t count;
    const struct inventory_stock *known = sheet_label_stocks(&count);
    struct inventory_setups setups = {0};
    const struct inventory_stock *found = NULL;
    enum status status = print_setup_load(inventory, &setups, error);

    if (!status)
        found = inventory_setups_stock(&setups, name);
    if (found)
        *stock = *found;
    inventory_setups_release(&setups);
    return found ? STATUS_OK
                 : error_set(error, STATUS_USAGE,
                             "no labels '%.60s' are known; built in are %s, %s, %s and %s mm, and "
                             "'woad stock NAME' keeps others",
                             name, known[0].name, known[1].name, known[2].name, known[3].name);
}

enum status print_setup_stock(const char *inventory, const char *name,
                              struct inventory_stock *stock, struct error *error)
{
    size_t count;
    const struct inventory_stock *known = sheet_label_stocks(&count);

    for (size_t i = 0; i < count; i++)
        if (utf8_same(known[i].name, name)) {
            *stock = known[i];
            return STATUS_OK;
        }
    return kept_stock(inventory, name, stock, error);
}
