#include "files/whole_file.h"

#include <errno.h>
#include <fcntl.h>
#include <string.h>
#include <unistd.h>

enum status whole_file_begin(const char *path, struct whole_file *file, struct error *error)
{
    int descriptor;

    memset(file, 0, sizeof *file);
    if (strlen(path) >= sizeof file->path)
        return error_set(error, STATUS_FILE,
                         "%s: the path is longer than 1023 bytes: choose a shorter one", path);
    snprintf(file->path, sizeof file->path, "%s", path);
    snprintf(file->temporary, sizeof file->temporary, "%s.%ld.part", path, (long)getpid());
    descriptor = open(file->temporary, O_WRONLY | O_CREAT | O_TRUNC | O_CLOEXEC, 0666);
    if (descriptor >= 0)
        file->stream = fdopen(descriptor, "wb");
    if (file->stream)
        return STATUS_OK;
    error_set(error, STATUS_FILE, "%s: can't be written (%s): choose another place", path,
              strerror(errno));
    if (descriptor >= 0) {
        close(descriptor);
        unlink(file->temporary);
    }
    return error->status;
}

enum status whole_file_end(struct whole_file *file, enum status status, struct error *error)
{
    int failed = ferror(file->stream);

    failed |= fclose(file->stream);
    if (!status && (failed || rename(file->temporary, file->path)))
        status = error_set(error, STATUS_FILE,
                           "%s: can't be written to its end (%s): check the disk's free space",
                           file->path, strerror(errno));
    if (status)
        unlink(file->temporary);
    memset(file, 0, sizeof *file);
    return status;
}
