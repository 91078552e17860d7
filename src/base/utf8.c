#include "base/utf8.h"

#include <stddef.h>
#include <stdio.h>
#include <string.h>

struct code_range {
    int32_t first;
    int32_t last;
};

static const struct code_range no_width[] = {
    {0x0300, 0x036F}, {0x1AB0, 0x1AFF}, {0x1DC0, 0x1DFF}, {0x200B, 0x200F},
    {0x20D0, 0x20FF}, {0xFE00, 0xFE0F}, {0xFE20, 0xFE2F}, {0xFEFF, 0xFEFF},
};

static const struct code_range double_width[] = {
    {0x1100, 0x115F}, {0x2E80, 0x303E}, {0x3041, 0xA4CF},   {0xAC00, 0xD7A3},   {0xF900, 0xFAFF},
    {0xFE30, 0xFE6F}, {0xFF00, 0xFF60}, {0x1F300, 0x1FAFF}, {0x20000, 0x3FFFD},
};

static bool in_ranges(int32_t code, const struct code_range *ranges, size_t count)
{
    for (size_t i = 0; i < count; i++)
        if (code >= ranges[i].first && code <= ranges[i].last)
            return true;
    return false;
}

/* How many bytes follow this first byte; -1 if no character begins with it. */
static int following_bytes(unsigned char first)
{
    if (first < 0x80)
        return 0;
    if (first >= 0xC2 && first <= 0xDF)
        return 1;
    if (first >= 0xE0 && first <= 0xEF)
        return 2;
    return first >= 0xF0 && first <= 0xF4 ? 3 : -1;
}

int32_t utf8_next(const char **at)
{
    static const int32_t smallest[4] = {0, 0x80, 0x800, 0x10000};
    const unsigned char *bytes = (const unsigned char *)*at;
    int following = following_bytes(bytes[0]);
    int32_t code = following > 0 ? bytes[0] & (0x3F >> following) : bytes[0];

    (*at)++;
    if (following < 0)
        return -1;
    for (int i = 1; i <= following; i++) {
        if ((bytes[i] & 0xC0) != 0x80)
            return -1;
        code = code << 6 | (bytes[i] & 0x3F);
    }
    if (code < smallest[following] || code > 0x10FFFF || (code >= 0xD800 && code <= 0xDFFF))
        return -1;
    *at += following;
    return code;
}

bool utf8_is_valid(const char *string)
{
    while (*string)
        if (utf8_next(&string) < 0)
            return false;
    return true;
}

bool utf8_is_control(int32_t code)
{
    return (code >= 0 && code < 0x20) || (code >= 0x7F && code < 0xA0);
}

/* Marks that turn the direction of writing, end a line or can't be seen. Source: Unicode Standard
 * Annex 9, table 4 and section 2.7; Annex 14, classes BK and NL. */
static const struct code_range deceiving[] = {{0x061C, 0x061C}, {0x200E, 0x200F},
                                              {0x2028, 0x202E}, {0x2066, 0x2069},
                                              {0xFEFF, 0xFEFF}, {0xE0000, 0xE007F}};

static bool is_plain(int32_t code)
{
    return code >= 0 && !utf8_is_control(code) &&
           !in_ranges(code, deceiving, sizeof deceiving / sizeof *deceiving);
}

bool utf8_is_plain(const char *string)
{
    while (*string)
        if (!is_plain(utf8_next(&string)))
            return false;
    return true;
}

#define SPELT_SIZE 16

/* One character, as it is or spelt out; `at` is stepped past it. */
static void spell(const char **at, char spelt[SPELT_SIZE])
{
    const char *start = *at;
    int32_t code = utf8_next(at);

    if (is_plain(code))
        snprintf(spelt, SPELT_SIZE, "%.*s", (int)(*at - start), start);
    else if (code == '\n' || code == '\t' || code == '\r')
        snprintf(spelt, SPELT_SIZE, "\\%c", code == '\n' ? 'n' : code == '\t' ? 't' : 'r');
    else if (code < 0 || code < 0x80)
        snprintf(spelt, SPELT_SIZE, "\\x%02X", (unsigned)(unsigned char)*start);
    else
        snprintf(spelt, SPELT_SIZE, "\\u%04X", (unsigned)code);
}

void utf8_show(const char *string, char *shown, size_t size)
{
    size_t length = 0;

    while (*string) {
        char spelt[SPELT_SIZE];
        size_t added;

        spell(&string, spelt);
        added = strlen(spelt);
        if (length + added >= size)
            break;
        memcpy(shown + length, spelt, added);
        length += added;
    }
    shown[length] = '\0';
}

void utf8_put(const char *string, FILE *out)
{
    while (*string) {
        char spelt[SPELT_SIZE];

        spell(&string, spelt);
        fputs(spelt, out);
    }
}

static int code_columns(int32_t code)
{
    if (in_ranges(code, no_width, sizeof no_width / sizeof *no_width))
        return 0;
    return in_ranges(code, double_width, sizeof double_width / sizeof *double_width) ? 2 : 1;
}

int utf8_columns(const char *string)
{
    int columns = 0;

    while (*string) {
        char spelt[SPELT_SIZE];
        const char *at = spelt;

        spell(&string, spelt);
        while (*at)
            columns += code_columns(utf8_next(&at));
    }
    return columns;
}
