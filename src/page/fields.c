#include "fields.h"

#include "base/memory.h"
#include "base/utf8.h"

#include <stdlib.h>
#include <string.h>

static int digit_of(char letter)
{
    static const char digits[] = "0123456789abcdef";
    const char *at =
        letter ? strchr(digits, letter >= 'A' && letter <= 'F' ? letter + 32 : letter) : NULL;

    return at ? (int)(at - digits) : -1;
}

/* "%C3%A4" and "+" become what they stand for, in place; what follows no rule stays. */
static void decode(char *text)
{
    char *to = text;

    for (const char *from = text; *from; from++) {
        int high = *from == '%' ? digit_of(from[1]) : -1;
        int low = high >= 0 ? digit_of(from[2]) : -1;

        if (low >= 0) {
            *to++ = (char)(high * 16 + low);
            from += 2;
        } else {
            *to++ = *from == '+' ? ' ' : *from;
        }
    }
    *to = '\0';
}

static size_t count_fields(const char *text)
{
    size_t count = 1;

    for (; *text; text++)
        count += *text == '&';
    return count;
}

static void take_field(struct fields *fields, char *part)
{
    char *equals = strchr(part, '=');

    if (!part[0])
        return;
    if (equals)
        *equals = '\0';
    decode(part);
    if (equals)
        decode(equals + 1);
    fields->names[fields->count] = part;
    fields->values[fields->count++] = equals ? equals + 1 : "";
}

static enum status check_fields(const struct fields *fields, struct error *error)
{
    for (size_t i = 0; i < fields->count; i++)
        if (!utf8_is_valid(fields->names[i]) || !utf8_is_valid(fields->values[i]))
            return error_set(error, STATUS_FORMAT, "what was sent is no text in UTF-8");
    return STATUS_OK;
}

enum status fields_read(const char *text, size_t length, struct fields *fields, struct error *error)
{
    size_t most;

    *fields = (struct fields){.count = 0};
    if (!text)
        return STATUS_OK;
    if (memchr(text, '\0', length))
        return error_set(error, STATUS_FORMAT, "what was sent is no text");
    fields->text = memory_array(length + 1, 1, "what was sent", error);
    if (!fields->text)
        return error->status;
    memcpy(fields->text, text, length);
    most = count_fields(fields->text);
    if (most > FIELDS_MAX)
        return error_set(error, STATUS_FORMAT, "more than %d fields were sent", FIELDS_MAX);
    fields->names = memory_array(most, sizeof *fields->names, "what was sent", error);
    fields->values = memory_array(most, sizeof *fields->values, "what was sent", error);
    if (!fields->names || !fields->values)
        return error->status;
    for (char *part = fields->text, *next; part; part = next) {
        next = strchr(part, '&');
        if (next)
            *next++ = '\0';
        take_field(fields, part);
    }
    return check_fields(fields, error);
}

void fields_release(struct fields *fields)
{
    free(fields->text);
    free(fields->names);
    free(fields->values);
    *fields = (struct fields){.count = 0};
}

const char *fields_value(const struct fields *fields, const char *name)
{
    for (size_t i = 0; i < fields->count; i++)
        if (strcmp(fields->names[i], name) == 0)
            return fields->values[i];
    return "";
}
