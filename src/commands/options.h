#ifndef WOAD_COMMANDS_OPTIONS_H
#define WOAD_COMMANDS_OPTIONS_H

#include "base/error.h"
#include "questions/measured_photo.h"
#include "values/calendar.h"
#include "output/table.h"
#include "values/colour.h"

#include <stdbool.h>
#include <stddef.h>
#include <stdio.h>

/* A colour given by hand: L,A,B. */
struct option_lab {
    bool given;
    struct lab lab;
};

#define OPTION_WORDS_MAX 200
struct option_words {
    const char *words[OPTION_WORDS_MAX]; /* from the command line */
    int count;
};

/*
 * One table of options a command: it reads the command line into the command's
 * own struct of settings, and prints the command's --help.
 */
enum option_kind {
    OPTION_IS_FLAG,
    OPTION_IS_TEXT,
    OPTION_IS_INTEGER,
    OPTION_IS_NUMBER,
    OPTION_IS_WORDS,
    OPTION_IS_TIME,
    OPTION_IS_LAB,
    OPTION_IS_CORNERS,
    OPTION_IS_FORMAT
};

struct option {
    const char *name;  /* without the hyphens; NULL ends the table */
    const char *value; /* what the help calls its value; NULL for a flag */
    const char *summary;
    enum option_kind kind;
    size_t offset; /* of the member in the settings */
    int minimum;   /* of a number */
    int maximum;   /* of a number; how often words may be given */
};

/*
 * An option's kind follows from the type of the member it is read into, so the
 * two cannot disagree; a type that is not listed does not compile.
 */
/* clang-format off */
#define OPTION_KIND_OF_VALUE(member) _Generic(member,                                              \
    const char *: OPTION_IS_TEXT, /* borrowed from the command line */                             \
    struct photo_time: OPTION_IS_TIME,                                                             \
    struct option_lab: OPTION_IS_LAB,                                                              \
    struct told_corners: OPTION_IS_CORNERS /* X,Y,X,Y,X,Y,X,Y */,                                                      \
    enum table_format: OPTION_IS_FORMAT)
#define OPTION_KIND_OF_SWITCH(member) _Generic(member, bool: OPTION_IS_FLAG)
#define OPTION_KIND_OF_NUMBER(member) _Generic(member,                                             \
    int: OPTION_IS_INTEGER,                                                                        \
    double: OPTION_IS_NUMBER)
#define OPTION_KIND_OF_WORDS(member) _Generic(member, struct option_words: OPTION_IS_WORDS)
/* clang-format on */

#define OPTION_INTO(settings, member, its_kind)                                                    \
    .kind = its_kind(((settings *)0)->member), .offset = offsetof(settings, member)

/* An option with a value that only its type bounds. */
#define OPTION(settings, member, called, takes, tells)                                             \
    {                                                                                              \
        .name = called, .value = takes, .summary = tells,                                          \
        OPTION_INTO(settings, member, OPTION_KIND_OF_VALUE)                                        \
    }

/* One without a value. */
#define OPTION_SWITCH(settings, member, called, tells)                                             \
    {                                                                                              \
        .name = called, .summary = tells, OPTION_INTO(settings, member, OPTION_KIND_OF_SWITCH)     \
    }

/* A number, from `least` to `most`. */
#define OPTION_BETWEEN(settings, member, least, most, called, takes, tells)                        \
    {                                                                                              \
        .name = called, .value = takes, .summary = tells,                                          \
        OPTION_INTO(settings, member, OPTION_KIND_OF_NUMBER), .minimum = least, .maximum = most    \
    }

/* One that may be given again and again, at most `most` times. */
#define OPTION_TIMES(settings, member, most, called, takes, tells)                                 \
    {                                                                                              \
        .name = called, .value = takes, .summary = tells,                                          \
        OPTION_INTO(settings, member, OPTION_KIND_OF_WORDS), .maximum = most                       \
    }

struct command {
    const char *name;
    const char *operands; /* as the help shows them: "PHOTO..." */
    const char *summary;
    const struct option *options;
    int operands_minimum;
    int operands_maximum; /* -1: any number */
    /** Returns: the exit status; the command has printed its own error. */
    int (*run)(const struct command *command, int count, char **words);
};

/**
 * Read a command's words: options into `settings`, operands to the front of `words`.
 *
 * Shape:   `words` are those behind the command's name; `*count` becomes the
 *          number of operands. "--name value" and "--name=value" are one; "--"
 *          ends the options.
 * Returns: STATUS_OK; STATUS_USAGE.
 */
MUST_USE enum status options_parse(const struct command *command, int *count, char **words,
                                   void *settings, struct error *error);

/** Whether "--help" or "-h" stands among the options. */
bool options_ask_help(int count, char **words);

/** Print what a command does, its operands and its options. */
void options_print_help(const struct command *command, FILE *out);

#endif
