#include "basics.h"

#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>

void fail(const char *format, ...)
{
    va_list arguments;

    va_start(arguments, format);
    fputs("scene: ", stderr);
    vfprintf(stderr, format, arguments);
    fputc('\n', stderr);
    va_end(arguments);
    exit(2);
}

void *allocate(size_t count, size_t size)
{
    void *array = calloc(count ? count : 1, size);

    if (!array)
        fail("no memory for %zu items of %zu bytes", count, size);
    return array;
}

double clamp(double value, double low, double high)
{
    return value < low ? low : value > high ? high : value;
}

double square(double value)
{
    return value * value;
}

double soft_step(double low, double high, double value)
{
    double t = clamp((value - low) / (high - low), 0.0, 1.0);

    return t * t * (3.0 - 2.0 * t);
}

double falling_edge(double value, double width)
{
    return 1.0 / (1.0 + exp(value / width));
}
