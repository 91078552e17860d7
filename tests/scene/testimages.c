#include "testimages.h"

#include "options.h"

#include <stddef.h>

enum { ARGUMENTS_MAX = 40 };

/* Each is a `scene plain` with these options. */
static const struct {
    const char *name;
    const char *arguments[ARGUMENTS_MAX];
} testimages[] = {
    {"seed-packets", {"--grade", "ordinary", "--number", "7"}},
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
