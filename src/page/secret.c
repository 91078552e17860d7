#include "secret.h"

#include <errno.h>
#include <stdio.h>
#include <string.h>

enum status secret_fill(char *text, size_t size, struct error *error)
{
    unsigned char bytes[SECRET_SIZE / 2];
    size_t count = (size - 1) / 2;
    FILE *randomness = fopen("/dev/urandom", "rb");
    bool filled = randomness && fread(bytes, 1, count, randomness) == count;

    if (randomness)
        fclose(randomness);
    if (!filled)
        return error_set(error, STATUS_FILE, "/dev/urandom can't be read (%s)", strerror(errno));
    for (size_t i = 0; i < count; i++)
        snprintf(text + 2 * i, 3, "%02x", bytes[i]);
    return STATUS_OK;
}

bool secret_is(const char *given, const char secret[SECRET_SIZE])
{
    unsigned differs = 0;

    if (!given || strlen(given) != SECRET_SIZE - 1 || !secret[0])
        return false;
    for (int i = 0; i < SECRET_SIZE - 1; i++)
        differs |= (unsigned)(given[i] ^ secret[i]);
    return differs == 0;
}
