#include "files/temporary.h"

#include <errno.h>
#include <stdlib.h>
#include <unistd.h>

#define PATH_SIZE 4096

FILE *temporary_open(void)
{
    const char *folder = getenv("TMPDIR");
    char path[PATH_SIZE];
    FILE *file = NULL;
    int descriptor, fault;
    int length =
        snprintf(path, sizeof path, "%s/woad-XXXXXX", folder && folder[0] ? folder : "/tmp");

    errno = ENAMETOOLONG;
    descriptor = length > 0 && length < PATH_SIZE ? mkstemp(path) : -1;
    if (descriptor < 0)
        return NULL;
    unlink(path);
    file = fdopen(descriptor, "w+b");
    fault = errno;
    if (!file)
        close(descriptor);
    errno = fault;
    return file;
}
