#include "header.h"

#include <stdlib.h>
#include <string.h>

void header_hand_over(struct header *header, int width_px, int height_px, double scale)
{
    header->decoded_width_px = width_px;
    header->decoded_height_px = height_px;
    header->scale = scale;
}

void header_release(struct header *header)
{
    free(header->exif);
    free(header->icc);
    memset(header, 0, sizeof *header);
}
