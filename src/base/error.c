#include "base/error.h"

#include <stdarg.h>
#include <stdio.h>

enum status error_set(struct error *error, enum status status, const char *format, ...)
{
    va_list arguments;

    error->status = status;
    va_start(arguments, format);
    vsnprintf(error->message, sizeof error->message, format, arguments);
    va_end(arguments);
    return status;
}
