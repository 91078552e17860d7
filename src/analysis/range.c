#include "analysis/range.h"

void range_difference_covariance(const struct range_ink *a, const struct range_ink *b,
                                 double covariance[9])
{
    bool same_photo = a->photo && a->photo == b->photo;

    for (int i = 0; i < 9; i++) {
        covariance[i] = a->covariance_own[i] + b->covariance_own[i];
        if (!same_photo)
            covariance[i] += a->covariance_shared[i] + b->covariance_shared[i];
    }
}
