#include "files/card.h"
#include "fuzz/given.h"

#include <stdlib.h>
#include <unistd.h>

/* A card that is taken has neutrals that fall from white to black. */
static void check(const struct card *card)
{
    for (int i = CARD_FIRST_NEUTRAL + 1; i < CARD_PATCHES; i++)
        if (!(card->patch[i].L < card->patch[i - 1].L))
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
