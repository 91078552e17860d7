#ifndef WOAD_OUTPUT_ASSETS_H
#define WOAD_OUTPUT_ASSETS_H

#include <stddef.h>

/* The files of src/output/assets as they are compiled in. */
struct asset {
    const char *name; /* "style.css" */
    const char *type; /* as HTTP calls it */
    const unsigned char *bytes;
    size_t length;
};

/** The asset of a name; NULL if there is none. */
const struct asset *asset_find(const char *name);

#endif
