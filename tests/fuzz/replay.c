/* Feed files to a fuzz target without an engine: replay_TARGET FILE... */
#include "fuzz/given.h"

#include <stdio.h>
#include <stdlib.h>

#define BYTES_MAX (1 << 20)

int main(int count, char **paths)
{
    uint8_t *bytes = malloc(BYTES_MAX);

    for (int i = 1; bytes && i < count; i++) {
        FILE *file = fopen(paths[i], "rb");
        uint8_t *exact;
        size_t size;

        if (!file)
            return 2;
        size = fread(bytes, 1, BYTES_MAX, file);
        fclose(file);
        exact = malloc(size ? size : 1); /* so that a read past the end is one past the heap's */
        for (size_t k = 0; exact && k < size; k++)
            exact[k] = bytes[k];
        if (exact)
            LLVMFuzzerTestOneInput(exact, size);
        free(exact);
    }
    free(bytes);
    return 0;
}
