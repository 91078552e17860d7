#include "measurement/words.h"

#include <stddef.h>
#include <stdio.h>
#include <string.h>

static const char *const found_words[] = {
    [CELL_INK] = "ink", [CELL_EMPTY] = "empty", [CELL_UNREADABLE] = "unreadable"};

static const struct {
    unsigned flag;
    const char *word;
} flag_words[] = {
    {FLAG_CLIPPED, "clipped"},       {FLAG_GLARE, "glare"}, {FLAG_SHADOW, "shadow"},
    {FLAG_UNEVEN, "uneven"},         {FLAG_SMALL, "small"}, {FLAG_OUTSIDE, "outside"},
    {FLAG_UNPROMISED, "unpromised"},
};

const char *words_of_found(enum cell_found found)
{
    return found_words[found];
}

enum cell_found words_to_found(const char *word)
{
    if (strcmp(word, found_words[CELL_INK]) == 0)
        return CELL_INK;
    return strcmp(word, found_words[CELL_EMPTY]) == 0 ? CELL_EMPTY : CELL_UNREADABLE;
}

void words_of_flags(unsigned flags, char text[WORDS_FLAGS_SIZE])
{
    int length = 0;

    text[0] = '\0';
    for (size_t i = 0; i < sizeof flag_words / sizeof *flag_words; i++)
        if (flags & flag_words[i].flag)
            length += snprintf(text + length, (size_t)(WORDS_FLAGS_SIZE - length), "%s%s",
                               length ? ";" : "", flag_words[i].word);
}

static unsigned flag_of_word(const char *word, size_t length)
{
    for (size_t i = 0; i < sizeof flag_words / sizeof *flag_words; i++)
        if (strlen(flag_words[i].word) == length && strncmp(flag_words[i].word, word, length) == 0)
            return flag_words[i].flag;
    return 0;
}

bool words_to_flags(const char *text, unsigned *flags)
{
    *flags = 0;
    while (*text) {
        size_t length = strcspn(text, ";");
        unsigned flag = flag_of_word(text, length);

        if (!flag)
            return false;
        *flags |= flag;
        text += length + (text[length] == ';');
    }
    return true;
}
