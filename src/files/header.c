#include "header.h"

#include <stdlib.h>
#include <string.h>

int header_decoded_px(const struct header *header, int stored_px)
{
    return (int)(((long long)stored_px * header->eighths + 7) / 8);
}

void header_release(struct header *header)
{
    free(header->exif);
    free(header->icc);
    memset(header, 0, sizeof *header);
}
