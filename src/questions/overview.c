#include "questions/overview.h"

#include "analysis/near.h"
#include "base/memory.h"

#include <stdlib.h>
#include <string.h>

enum status overview_find_standins(struct overview *overview, size_t place, struct error *error)
{
    const struct near_wish wish = {NEAR_CLOSE, OVERVIEW_STANDINS};
    const struct measured_range *measured = &overview->ordered.measured;
    struct overview_ink *entry = &overview->inks[place];
    struct near_matches matches = {0};
    enum status status =
        near_find(entry->ink, measured->inks, measured->count, &wish, &matches, error);

    entry->standin_count = 0;
    for (size_t i = 0; !status && i < matches.count; i++) {
        if (i && matches.items[i].delta_e.measured > OVERVIEW_WITHIN)
            break;
        entry->standins[entry->standin_count++] = (struct overview_standin){
            overview->places[matches.items[i].second], matches.items[i].delta_e};
    }
    near_release(&matches);
    return status;
}

static void fill(struct overview *overview)
{
    const struct ordered_range *ordered = &overview->ordered;

    for (size_t i = 0; i < ordered->order.count; i++) {
        size_t ink = ordered->order.inks[i];
        struct overview_ink *entry = &overview->inks[overview->count++];

        overview->places[ink] = i;
        entry->ink = &ordered->measured.inks[ink];
        entry->family = ordered->families.of_ink[ink];
    }
}

/* Colours are turned for the screen all at once. */
static enum status look_up_colours(struct overview *overview, struct error *error)
{
    struct lab *labs = memory_array(overview->count + 1, sizeof *labs, "the range", error);
    struct screen_colour *on_screen =
        memory_array(overview->count + 1, sizeof *on_screen, "the range", error);
    enum status status = labs && on_screen ? STATUS_OK : error->status;

    for (size_t i = 0; !status && i < overview->count; i++)
        labs[i] = overview->inks[i].ink->lab;
    if (!status)
        colour_on_screen(labs, (int)overview->count, on_screen);
    for (size_t i = 0; !status && i < overview->count; i++)
        overview->inks[i].on_screen = on_screen[i];
    free(labs);
    free(on_screen);
    return status;
}

enum status overview_load(const char *given, const char *families, size_t finely_max,
                          struct overview *overview, struct error *error)
{
    enum status status;

    *overview = (struct overview){.count = 0};
    status = ordered_range_load(given, families, finely_max, &overview->ordered, error);
    if (status)
        return status;
    overview->inks =
        memory_array(overview->ordered.order.count, sizeof *overview->inks, "the range", error);
    overview->places =
        memory_array(overview->ordered.order.count, sizeof *overview->places, "the range", error);
    if (!overview->inks || !overview->places)
        return error->status;
    fill(overview);
    return look_up_colours(overview, error);
}

bool overview_find(const struct overview *overview, const char *name, size_t *place)
{
    for (*place = 0; *place < overview->count; ++*place)
        if (strcmp(overview->inks[*place].ink->name, name) == 0)
            return true;
    return false;
}

void overview_release(struct overview *overview)
{
    free(overview->inks);
    free(overview->places);
    ordered_range_release(&overview->ordered);
    *overview = (struct overview){.count = 0};
}
