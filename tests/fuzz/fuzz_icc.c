#include "files/profile.h"
#include "fuzz/given.h"

/* Understand a profile, then convert colours with it. */
int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    uint16_t samples[12] = {0, 0, 0, 65535, 65535, 65535, 1, 30000, 60000, 128, 500, 32768};
    struct profile profile = {0};
    struct error error;

    if (profile_from_icc("photo", data, size, &profile, &error) == STATUS_OK)
        profile_convert(&profile, samples, 4);
    profile_release(&profile);
    return 0;
}
