#include "base/utf8.h"

#include <ctype.h>
#include <stddef.h>
#include <stdio.h>
#include <string.h>
#include <utf8proc.h>

struct code_range {
    int32_t first;
    int32_t last;
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

int utf8_columns(const char *string)
{
    int columns = 0;

    while (*string) {
        char spelt[SPELT_SIZE];
        const char *at = spelt;

        spell(&string, spelt);
        while (*at)
            columns += utf8proc_charwidth(utf8_next(&at));
    }
    return columns;
}

/* --- names ---------------------------------------------------------------------------------- */

#define NAME_CODES_MAX 1024
#define FOLDED_SIZE 1024

static bool is_white(int32_t code)
{
    return (code >= '\t' && code <= '\r') || utf8proc_category(code) == UTF8PROC_CATEGORY_ZS;
}

/* Turn each run of white space into one space, none at the ends; returns how much is left. */
static utf8proc_ssize_t collapse(int32_t *codes, utf8proc_ssize_t count)
{
    utf8proc_ssize_t kept = 0;

    for (utf8proc_ssize_t i = 0; i < count; i++) {
        if (!is_white(codes[i]))
            codes[kept++] = codes[i];
        else if (kept && codes[kept - 1] != ' ')
            codes[kept++] = ' ';
    }
    return kept && codes[kept - 1] == ' ' ? kept - 1 : kept;
}

static bool bring_to_form(const char *string, unsigned form, char *formed, size_t size)
{
    int32_t codes[NAME_CODES_MAX + 1];
    const utf8proc_option_t options = (utf8proc_option_t)(UTF8PROC_NULLTERM | form);
    utf8proc_ssize_t count =
        utf8proc_decompose((const utf8proc_uint8_t *)string, 0, codes, NAME_CODES_MAX, options);

    formed[0] = '\0';
    if (count < 0 || count > NAME_CODES_MAX)
        return false;
    count = utf8proc_reencode(codes, collapse(codes, count), options);
    if (count < 0 || (size_t)count >= size)
        return false;
    memcpy(formed, codes, (size_t)count + 1);
    return true;
}

bool utf8_tidy(const char *string, char *tidied, size_t size)
{
    return bring_to_form(string, UTF8PROC_STABLE | UTF8PROC_COMPOSE, tidied, size);
}

#define FOLDING (UTF8PROC_STABLE | UTF8PROC_COMPOSE | UTF8PROC_CASEFOLD)

bool utf8_fold(const char *string, char *folded, size_t size)
{
    return bring_to_form(string, FOLDING, folded, size);
}

bool utf8_bare(const char *string, char *bare, size_t size)
{
    return bring_to_form(string, FOLDING | UTF8PROC_STRIPMARK, bare, size);
}

/* Quickly told, since many names are asked: two that begin with other ASCII letters. */
static bool begin_apart(const char *a, const char *b)
{
    const unsigned char first = (unsigned char)a[strspn(a, " ")];
    const unsigned char second = (unsigned char)b[strspn(b, " ")];

    return first < 0x80 && second < 0x80 && first > ' ' && second > ' ' &&
           tolower(first) != tolower(second);
}

bool utf8_same(const char *a, const char *b)
{
    char folded[2][FOLDED_SIZE];

    if (begin_apart(a, b))
        return false;
    return strcmp(a, b) == 0 ||
           (utf8_fold(a, folded[0], FOLDED_SIZE) && utf8_fold(b, folded[1], FOLDED_SIZE) &&
            strcmp(folded[0], folded[1]) == 0);
}
