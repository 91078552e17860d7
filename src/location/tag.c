#include "location/tag.h"

#define quad apriltag_quad /* the library has a struct of that name too */
#include <apriltag/apriltag.h>
#include <apriltag/tagStandard41h12.h>
#undef quad
#include <string.h>

#define BITS_CORRECTED 1 /* wrong modules mended; more would need 30 MB of tables */
#define DECIMATE 2       /* quads are looked for at half size, their edges refined at full size */
#define CONTRAST_MIN 30  /* of 255, between ink and paper: quiet areas are not looked at */
#define MARGIN_MIN                                                                                 \
    20.0f /* of the decision, 0 to 255: by rendered sheets, true tags have 45 and more */

void tag_pattern(int sheet, int corner, bool black[TAG_MODULES][TAG_MODULES])
{
    apriltag_family_t *family = tagStandard41h12_create();
    image_u8_t *image = apriltag_to_image(family, sheet * 4 + corner);

    for (int row = 0; row < TAG_MODULES; row++)
        for (int column = 0; column < TAG_MODULES; column++)
            black[row][column] = image->buf[row * image->stride + column] < 128;
    image_u8_destroy(image);
    tagStandard41h12_destroy(family);
}

/* The photo's green, which all cameras have most of, in 8 bits. */
static image_u8_t *grey_of(const struct image *image)
{
    image_u8_t *grey = image_u8_create((unsigned)image->width_px, (unsigned)image->height_px);

    for (int y = 0; grey && y < image->height_px; y++)
        for (int x = 0; x < image->width_px; x++)
            grey->buf[y * grey->stride + x] = (uint8_t)(image_at(image, x, y)[1] >> 8);
    return grey;
}

/* The library counts a tag's corners from its lower left, against the clock; tests bear out that
 * it counts pixels from their outer corners, as we do. */
static struct tag tag_of(const apriltag_detection_t *found)
{
    struct tag tag = {.sheet = found->id / 4, .corner = found->id % 4};

    for (int i = 0; i < 4; i++)
        tag.ring.corner[i] = (struct point){found->p[3 - i][0], found->p[3 - i][1]};
    return tag;
}

static void keep(zarray_t *found, struct tags *tags)
{
    apriltag_detection_t *detection;

    for (int i = 0; i < zarray_size(found) && tags->count < TAGS_MAX; i++) {
        zarray_get(found, i, &detection);
        if (detection->decision_margin >= MARGIN_MIN)
            tags->items[tags->count++] = tag_of(detection);
    }
}

enum status tags_find(const struct photo *photo, struct tags *tags, struct error *error)
{
    image_u8_t *grey = grey_of(&photo->image);
    apriltag_family_t *family = tagStandard41h12_create();
    apriltag_detector_t *detector = apriltag_detector_create();
    zarray_t *found = NULL;

    tags->count = 0;
    if (grey && family && detector) {
        apriltag_detector_add_family_bits(detector, family, BITS_CORRECTED);
        detector->quad_decimate = DECIMATE;
        detector->qtp.min_white_black_diff = CONTRAST_MIN;
        found = apriltag_detector_detect(detector, grey);
    }
    if (found) {
        keep(found, tags);
        apriltag_detections_destroy(found);
    }
    if (detector)
        apriltag_detector_destroy(detector);
    if (family)
        tagStandard41h12_destroy(family);
    image_u8_destroy(grey);
    return found ? STATUS_OK
                 : error_set(error, STATUS_MEMORY, "out of memory: no room to look for tags");
}
