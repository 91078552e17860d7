#include "base/nearest.h"

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

size_t nearest_distance(const char *a, const char *b)
{
    size_t distance[NEAREST_LETTERS_MAX + 1];
    size_t a_length = bounded_length(a);
    size_t b_length = bounded_length(b);

    for (size_t j = 0; j <= b_length; j++)
        distance[j] = j;
    for (size_t i = 1; i <= a_length; i++) {
        size_t diagonal = distance[0];

        distance[0] = i;
        for (size_t j = 1; j <= b_length; j++) {
            size_t same = tolower((unsigned char)a[i - 1]) == tolower((unsigned char)b[j - 1]);
            size_t above = distance[j];

            distance[j] = least(above + 1, distance[j - 1] + 1, diagonal + !same);
            diagonal = above;
        }
    }
    return distance[b_length];
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
