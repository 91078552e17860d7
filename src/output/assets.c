#include "output/assets.h"

#include <string.h>

/* Made of the folder's files by assets/embed.sh; its last has no name. */
extern const struct asset asset_table[];

const struct asset *asset_find(const char *name)
{
    for (const struct asset *asset = asset_table; asset->name; asset++)
        if (strcmp(asset->name, name) == 0)
            return asset;
    return NULL;
}
