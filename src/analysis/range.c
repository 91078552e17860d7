#include "analysis/range.h"

/* How much of a photo is in a colour. */
static double weight_of(const struct range_ink *ink, int64_t photo)
{
    for (int i = 0; i < ink->photo_count; i++)
        if (ink->photos[i].photo == photo)
            return ink->photos[i].weight;
    return 0;
}

/*
 * What is left of a colour's shared error in its difference from another: a photo's error goes into
 * the difference with the two weights' difference, and is taken to be unlike any other photo's,
 * which states the difference's error rather too large.
 */
static double part_left(const struct range_ink *ink, const struct range_ink *other)
{
    double left = 0;

    if (!ink->photo_count)
        return 1;
    for (int i = 0; i < ink->photo_count; i++) {
        double theirs = weight_of(other, ink->photos[i].photo);
        double more = ink->photos[i].weight - theirs;

        left += theirs > 0 ? more * more / 2 : more * more;
    }
    return left;
}

void range_difference_covariance(const struct range_ink *a, const struct range_ink *b,
                                 double covariance[9])
{
    double left_of_a = part_left(a, b), left_of_b = part_left(b, a);

    for (int i = 0; i < 9; i++)
        covariance[i] = a->covariance_own[i] + b->covariance_own[i] +
                        left_of_a * a->covariance_shared[i] + left_of_b * b->covariance_shared[i];
}
