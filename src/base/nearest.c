#include "base/nearest.h"

#include "base/utf8.h"

#include <ctype.h>
#include <string.h>

static size_t bounded_length(const char *word)
{
    size_t length = strlen(word);

    return length < NEAREST_LETTERS_MAX ? length : NEAREST_LETTERS_MAX;
}

static size_t least(size_t a, size_t b, size_t c)
{
    size_t smaller = a < b ? a : b;

    return smaller < c ? smaller : c;
}

static bool same_letter(char a, char b)
{
    return tolower((unsigned char)a) == tolower((unsigned char)b);
}

/* Rows of the table of distances between beginnings: this one, the one before, and that before. */
size_t nearest_distance(const char *a, const char *b)
{
    size_t rows[3][NEAREST_LETTERS_MAX + 1];
    size_t a_length = bounded_length(a);
    size_t b_length = bounded_length(b);

    for (size_t j = 0; j <= b_length; j++)
        rows[0][j] = j;
    for (size_t i = 1; i <= a_length; i++) {
        size_t *row = rows[i % 3], *above = rows[(i + 2) % 3], *before = rows[(i + 1) % 3];

        row[0] = i;
        for (size_t j = 1; j <= b_length; j++) {
            row[j] = least(above[j] + 1, row[j - 1] + 1,
                           above[j - 1] + !same_letter(a[i - 1], b[j - 1]));
            if (i > 1 && j > 1 && same_letter(a[i - 1], b[j - 2]) &&
                same_letter(a[i - 2], b[j - 1]))
                row[j] = least(row[j], before[j - 2] + 1, row[j]);
        }
    }
    return rows[a_length % 3][b_length];
}

/* --- slips ---------------------------------------------------------------------------------- */

#define NAME_SIZE 512

/* A name in small letters, parted into what counts and what does not. */
struct parted {
    char counts[NAME_SIZE];
    char words[NAME_SIZE];
};

static bool is_letter(char letter) /* or a piece of one beyond ASCII */
{
    return isalpha((unsigned char)letter) || (unsigned char)letter >= 0x80;
}

/* How many letters, or how many digits, a name begins with. */
static size_t run_length(const char *name)
{
    size_t length = 0;

    while (isdigit((unsigned char)name[length]))
        length++;
    while (!isdigit((unsigned char)name[0]) && is_letter(name[length]))
        length++;
    return length;
}

/* Digits, one letter alone, a roman number. */
static bool counts(const char *run, size_t length)
{
    return isdigit((unsigned char)run[0]) || length == 1 || strspn(run, "ivx") >= length;
}

static void append_run(char *text, const char *run, size_t length)
{
    size_t end = strlen(text);

    if (end)
        text[end++] = ' ';
    memcpy(text + end, run, length);
    text[end + length] = '\0';
}

static bool part_name(const char *name, struct parted *parted)
{
    char bare[NAME_SIZE / 2]; /* a space before each letter at most */

    memset(parted, 0, sizeof *parted);
    if (!utf8_bare(name, bare, sizeof bare))
        return false;
    for (const char *run = bare; *run;) {
        size_t length = run_length(run);

        if (length)
            append_run(counts(run, length) ? parted->counts : parted->words, run, length);
        run += length ? length : 1;
    }
    return true;
}

bool nearest_is_slip(const char *a, const char *b)
{
    struct parted first, second;
    size_t letters, tolerated;

    if (!part_name(a, &first) || !part_name(b, &second) || strcmp(first.counts, second.counts) != 0)
        return false;
    letters = bounded_length(first.words) < bounded_length(second.words)
                  ? bounded_length(first.words)
                  : bounded_length(second.words);
    tolerated = letters / 4 < 2 ? letters / 4 : 2;
    return nearest_distance(first.words, second.words) <= tolerated;
}

struct nearest nearest_start(const char *word)
{
    /* A word may differ in a third of its letters, one at least, before a guess is a nuisance. */
    size_t tolerated = bounded_length(word) / 3;

    return (struct nearest){word, NULL, (tolerated ? tolerated : 1) + 1};
}

void nearest_offer(struct nearest *nearest, const char *candidate)
{
    size_t distance = nearest_distance(nearest->word, candidate);

    if (distance < nearest->distance) {
        nearest->distance = distance;
        nearest->best = candidate;
    }
}
