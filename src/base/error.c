#include "base/error.h"

#include "base/utf8.h"

#include <stdarg.h>
#include <stdio.h>

enum status error_set(struct error *error, enum status status, const char *format, ...)
{
    char message[sizeof error->message];
    va_list arguments;

    error->status = status;
    va_start(arguments, format);
    vsnprintf(message, sizeof message, format, arguments);
    va_end(arguments);
    utf8_show(message, error->message, sizeof error->message);
    return status;
}
