#include "questions/compare_inks.h"

#include <string.h>

static bool have_same_photos(const struct range_ink *a, const struct range_ink *b)
{
    int found = 0;

    for (int i = 0; i < a->photo_count; i++)
        for (int j = 0; j < b->photo_count; j++)
            found += a->photos[i].photo == b->photos[j].photo;
    return a->photo_count > 0 && found == a->photo_count && found == b->photo_count;
}

static enum status find_ink(const struct range *range, const char *name, int side,
                            struct compare_inks *compared, struct error *error)
{
    const struct range_ink *ink = NULL;
    enum status status = range_find(range, name, &ink, error);

    if (status)
        return status;
    if (ink->basis == COLOUR_NONE || ink->basis == COLOUR_WET_ONLY)
        return error_set(
            error, STATUS_INVENTORY,
            "'%s' was %s, so there is no colour to compare; measure its swatch once it "
            "is dry",
            ink->name, ink->basis == COLOUR_NONE ? "never measured" : "measured only while wet");
    compared->inks[side] = *ink;
    compared->facts[side] = range->facts[ink - range->inks];
    return STATUS_OK;
}

static void judge(double tolerance, struct compare_inks *compared)
{
    const struct range_ink *a = &compared->inks[0], *b = &compared->inks[1];
    double covariance[9];

    range_difference_covariance(a, b, covariance);
    compared->difference = difference_between(a->lab, b->lab);
    compared->delta_e = interval_of_difference(a->lab, b->lab, covariance);
    compared->verdict = batches_verdict(compared->delta_e.low, compared->delta_e.high, tolerance);
    compared->same_photos = have_same_photos(a, b);
}

enum status compare_inks_load(struct inventory *inventory, const char *const names[2],
                              double tolerance, struct compare_inks *compared, struct error *error)
{
    struct range range = {0};
    enum status status = range_load(inventory, NULL, &range, error);

    memset(compared, 0, sizeof *compared);
    for (int side = 0; !status && side < 2; side++)
        status = find_ink(&range, names[side], side, compared, error);
    if (!status)
        judge(tolerance, compared);
    range_release(&range);
    return status;
}
