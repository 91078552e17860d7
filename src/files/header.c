#include "header.h"

#include <stdlib.h>
#include <string.h>

void header_release(struct header *header)
{
    free(header->exif);
    free(header->icc);
    memset(header, 0, sizeof *header);
}
