#ifndef WOAD_FILES_TEMPORARY_H
#define WOAD_FILES_TEMPORARY_H

#include <stdio.h>

/**
 * Open a temporary file to write and read back, in the folder $TMPDIR names, else the system's.
 * It has no name, and is gone once it is closed, however the program ends.
 *
 * Returns: the file, which the caller closes; NULL, with errno set, if none can be made.
 * Source:  POSIX.1-2017, environment variable TMPDIR.
 */
FILE *temporary_open(void);

#endif
