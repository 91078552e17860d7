#include "measurement/faults.h"

#include <math.h>

enum photo_verdict faults_verdict(const struct faults *faults)
{
    enum photo_verdict verdict = PHOTO_FIT;

    for (int i = 0; i < FAULTS; i++) {
        if (faults->of[i].unpromised)
            return PHOTO_NOT_PROMISED;
        if (faults->of[i].found)
            verdict = PHOTO_LARGER_DOUBT;
    }
    return verdict;
}

enum fault_kind faults_worst(const struct faults *faults)
{
    enum fault_kind worst = FAULTS;

    for (int i = 0; i < FAULTS; i++)
        if (faults->of[i].found &&
            (worst == FAULTS || faults->of[i].unpromised > faults->of[worst].unpromised ||
             (faults->of[i].unpromised == faults->of[worst].unpromised &&
              faults->of[i].deviation > faults->of[worst].deviation)))
            worst = (enum fault_kind)i;
    return worst;
}

double faults_deviation(const struct faults *faults)
{
    double squares = 0;

    for (int i = 0; i < FAULTS; i++)
        squares += faults->of[i].deviation * faults->of[i].deviation;
    return sqrt(squares);
}
