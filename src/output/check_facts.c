#include "check_drawing.h"
#include "base/text.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

bool check_has_card(const struct check_drawing *drawing)
{
    return fabs(quad_area(&drawing->measurement->card.corners)) > 0;
}

bool check_has_chart(const struct check_drawing *drawing)
{
    return drawing->chart->pose.outline != NULL;
}

int check_cells(const struct check_drawing *drawing)
{
    const struct chart_pose *chart = &drawing->chart->pose;

    return drawing->cells ? chart->rows * chart->columns : 0;
}

bool check_patch_left_out(const struct check_drawing *drawing, int patch)
{
    const struct measurement *measurement = drawing->measurement;

    return measurement->card.hidden[patch] ||
           (measurement->correction && !measurement->quality.used[patch]);
}

/* Whether the names file has ink in this cell; true where there is none. */
static bool is_named(const struct check_drawing *drawing, const struct reading *reading)
{
    return !drawing->names || names_at(drawing->names, reading->row, reading->column)->ink[0];
}

bool check_wants_look(const struct check_drawing *drawing, const struct reading *reading)
{
    if (reading->found == CELL_EMPTY)
        return drawing->names && is_named(drawing, reading);
    return reading->found == CELL_UNREADABLE || reading->flags || !is_named(drawing, reading);
}

void check_numbers(const struct reading *reading, bool with_u95, char numbers[CHECK_NUMBERS_SIZE])
{
    int length =
        snprintf(numbers, CHECK_NUMBERS_SIZE, "%.0f %.0f %.0f", text_rounded(reading->lab.L, 0),
                 text_rounded(reading->lab.a, 0), text_rounded(reading->lab.b, 0));

    if (with_u95)
        snprintf(numbers + length, (size_t)(CHECK_NUMBERS_SIZE - length), " \xC2\xB1%.1f",
                 reading->u95);
}

const char *check_file_name(const char *path)
{
    const char *slash = strrchr(path, '/');

    return slash ? slash + 1 : path;
}
