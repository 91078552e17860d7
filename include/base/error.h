#ifndef WOAD_BASE_ERROR_H
#define WOAD_BASE_ERROR_H

/*
 * Errors are values. A function that can fail returns `enum status` and takes
 * `struct error *error` last; whoever sees the fault writes the message (the
 * file, what was seen, what was wanted, what to do next) and callers pass the
 * status on. The codes are the program's exit codes.
 */

#define MUST_USE __attribute__((warn_unused_result))
#define PRINTF_LIKE(format_index, first) __attribute__((format(printf, format_index, first)))

enum status {
    STATUS_OK = 0,
    STATUS_USAGE = 1,     /* wrong command line */
    STATUS_FILE = 2,      /* a file can't be read or written */
    STATUS_FORMAT = 3,    /* a file is not what it claims */
    STATUS_NOT_FOUND = 4, /* card or chart not found */
    STATUS_QUALITY = 5,   /* found but not fit to measure */
    STATUS_INVENTORY = 6,
    STATUS_MEMORY = 7,
    STATUS_NO_ANSWER = 8 /* all went well, and there is nothing to propose or to buy */
};

struct error {
    enum status status;
    char message[1024];
};

/**
 * Fill `error` with a message in the manner of printf; what in it could steer a terminal, such as a
 * file's name, is spelt out.
 *
 * Returns: `status`, so that a fault is reported and returned in one line.
 */
enum status error_set(struct error *error, enum status status, const char *format, ...)
    PRINTF_LIKE(3, 4);

#endif
