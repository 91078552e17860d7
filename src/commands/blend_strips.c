#include "blend_strips.h"

#include "questions/combine_job.h"

#include <string.h>

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
        status = blend_ink_prepare(&observer, ink->lab, combine_job_u95(ink), &ready[i], error);
    }
    for (size_t i = 0; !status && i + 1 < count; i++) {
        struct blend_habit habit = combine_habit(task, inks[i], inks[i + 1]);

        forecast_join_fill(&observer, &ready[i], &ready[i + 1], &habit, &strip->joins[i]);
    }
    return status;
}
