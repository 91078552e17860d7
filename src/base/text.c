#include "base/text.h"

#include "base/memory.h"

#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static enum status text_reserve(struct text *text, size_t more, struct error *error)
{
    while (text->capacity < text->length + more + 1) {
        char *grown = memory_grow(text->bytes, &text->capacity, 1, "text", error);

        if (!grown)
            return error->status;
        text->bytes = grown;
    }
    return STATUS_OK;
}

enum status text_add(struct text *text, struct error *error, const char *format, ...)
{
    va_list arguments;
    int more;
    enum status status;

    va_start(arguments, format);
    more = vsnprintf(NULL, 0, format, arguments);
    va_end(arguments);
    if (more < 0)
        return error_set(error, STATUS_MEMORY, "text can't be formatted: '%s'", format);
    status = text_reserve(text, (size_t)more, error);
    if (status)
        return status;
    va_start(arguments, format);
    vsnprintf(text->bytes + text->length, (size_t)more + 1, format, arguments);
    va_end(arguments);
    text->length += (size_t)more;
    return STATUS_OK;
}

void text_release(struct text *text)
{
    free(text->bytes);
    memset(text, 0, sizeof *text);
}

char *text_copy(const char *string, struct error *error)
{
    size_t size = strlen(string) + 1;
    char *copy = memory_array(size, 1, "a string", error);

    if (copy)
        memcpy(copy, string, size);
    return copy;
}

double text_rounded(double number, int decimals)
{
    double step = pow(10.0, decimals);
    double rounded = round(number * step) / step;

    return rounded == 0 ? 0 : rounded;
}
