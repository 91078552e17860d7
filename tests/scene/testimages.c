#include "testimages.h"

#include "options.h"

#include <stddef.h>

enum { ARGUMENTS_MAX = 48 };

/* Each is a `scene plain` with these options; what they draw on is drawn for the grade. */
static const struct {
    const char *name;
    const char *arguments[ARGUMENTS_MAX];
} testimages[] = {
    {"seed-packets", {"--grade",      "ordinary", "--number",      "101",     "--rows",      "6",
                      "--columns",    "8",        "--width",       "4000",    "--height",    "3000",
                      "--cell-width", "21",       "--cell-height", "17",      "--gap-x",     "4",
                      "--gap-y",      "6",        "--outline",     "printed", "--labels",    "1",
                      "--title",      "1",        "--palette",     "order",   "--blank",     "0",
                      "--marks",      "1",        "--card-place",  "below",   "--card-turn", "2",
                      "--card-pitch", "20",       "--desk",        "oak",     "--turn",      "-4",
                      "--exposure",   "0.84",     "--quality",     "84"}},
    {"sideways",
     {"--palette",   "all",       "--grade", "ordinary",      "--number", "102",          "--rows",
      "7",           "--columns", "4",       "--orientation", "6",        "--card-place", "left",
      "--card-turn", "91",        "--width", "1800",          "--height", "1350"}},
    {"sixteen-bits",
     {"--palette",    "order", "--grade",  "even",  "--number", "103", "--rows",   "4",
      "--columns",    "3",     "--format", "png16", "--width",  "640", "--height", "480",
      "--card-place", "right", "--noise",  "0.004"}},
    {"display-p3",
     {"--grade", "ordinary", "--number", "104", "--profile", "p3", "--palette", "all", "--rows",
      "5", "--columns", "6", "--card-place", "above", "--card-turn", "183"}},
    {"pale-and-blank",
     {"--grade",   "ordinary", "--number", "105", "--palette",     "pale", "--blank",   "0.3",
      "--outline", "none",     "--labels", "0",   "--rows",        "6",    "--columns", "7",
      "--gap-x",   "4",        "--gap-y",  "4",   "--orientation", "8"}},
    {"millimetre-apart",
     {"--grade",   "even",  "--number",     "106", "--rows",        "12",   "--columns", "10",
      "--gap-x",   "1",     "--gap-y",      "1",   "--outline",     "none", "--labels",  "0",
      "--palette", "order", "--card-place", "on",  "--orientation", "3"}},
    {"lamp-and-curl",
     {"--grade",  "hard",   "--number",     "107",    "--rows",       "6",        "--columns",
      "5",        "--lamp", "incandescent", "--curl", "12",           "--shadow", "0.3",
      "--glares", "2",      "--card-place", "left",   "--card-pitch", "15"}},
};

int testimages_count(void)
{
    return (int)(sizeof testimages / sizeof *testimages);
}

const char *testimage_name(int i)
{
    return testimages[i].name;
}

struct plan testimage_plan(int i)
{
    char *arguments[ARGUMENTS_MAX];
    int count = 0;

    while (count < ARGUMENTS_MAX && testimages[i].arguments[count]) {
        arguments[count] = (char *)testimages[i].arguments[count];
        count++;
    }
    return options_plan(count, arguments);
}
