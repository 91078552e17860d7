#include "blend_strips.h"

#include "analysis/perceptual.h"
#include "values/linear.h"
#include "values/statistics.h"

#include <string.h>

double blend_strips_u95(const struct range_ink *ink)
{
    double covariance[9], frame[9], seen[9], variances[3];

    for (int i = 0; i < 9; i++)
        covariance[i] = ink->covariance_shared[i] + ink->covariance_own[i];
    perceptual_frame(ink->lab, frame);
    linear_carry_3x3(frame, covariance, seen);
    linear_eigenvalues_3x3(seen, variances);
    return statistics_normal_radius(variances, 0.95);
}

enum status blend_strips_forecast(const struct combine_task *task, const size_t *inks, size_t count,
                                  struct forecast_strip *strip, struct error *error)
{
    struct reflectance_observer observer = reflectance_observer_d50();
    struct blend_ink ready[COMBINATION_MOST];
    enum status status = STATUS_OK;

    memset(strip, 0, sizeof *strip);
    strip->count = count;
    for (size_t i = 0; !status && i < count; i++) {
        const struct range_ink *ink = &task->inks[inks[i]];

        strip->names[i] = ink->name;
        strip->colours[i] = ink->lab;
        status = blend_ink_prepare(&observer, ink->lab, blend_strips_u95(ink), &ready[i], error);
    }
    for (size_t i = 0; !status && i + 1 < count; i++) {
        struct blend_habit habit = combine_habit(task, inks[i], inks[i + 1]);

        forecast_join_fill(&observer, &ready[i], &ready[i + 1], &habit, &strip->joins[i]);
    }
    return status;
}
