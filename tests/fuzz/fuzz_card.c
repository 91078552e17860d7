#include "files/card.h"
#include "fuzz/given.h"

#include <stdlib.h>
#include <unistd.h>

/* A card that is taken has whole rows, and neutrals from its white down to its black. */
static void check(const struct card *card)
{
    const struct card_shape *shape = &card->shape;

    if (shape->rows * shape->columns != shape->patches || shape->patches > CARD_PATCHES_MAX)
        abort();
    if (!card->neutral[shape->white] || !card->neutral[shape->black] ||
        !(card->patch[shape->black].L < card->patch[shape->white].L))
        abort();
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    struct card card;
    struct error error;
    char path[64];

    given_file(data, size, path);
    if (card_read(path, &card, &error) == STATUS_OK)
        check(&card);
    unlink(path);
    return 0;
}
