#include "base/memory.h"

#include <stdint.h>
#include <stdlib.h>

#define FIRST_CAPACITY 16

static void *out_of_memory(size_t count, size_t size, const char *what, struct error *error)
{
    error_set(error, STATUS_MEMORY,
              "out of memory: no room for %s (%zu of %zu bytes each); close other programs "
              "or try a smaller photo",
              what, count, size);
    return NULL;
}

void *memory_array(size_t count, size_t size, const char *what, struct error *error)
{
    void *array = calloc(count ? count : 1, size);

    return array ? array : out_of_memory(count, size, what, error);
}

void *memory_grow(void *array, size_t *capacity, size_t size, const char *what, struct error *error)
{
    size_t wanted = *capacity ? *capacity * 2 : FIRST_CAPACITY;
    void *grown;

    if (wanted < *capacity || wanted > SIZE_MAX / size)
        return out_of_memory(wanted, size, what, error);
    grown = realloc(array, wanted * size);
    if (!grown)
        return out_of_memory(wanted, size, what, error);
    *capacity = wanted;
    return grown;
}
