#ifndef WOAD_COMMANDS_OPTIONS_H
#define WOAD_COMMANDS_OPTIONS_H

#include "base/error.h"
#include "values/colour.h"
#include "values/geometry.h"

#include <stdbool.h>
#include <stddef.h>
#include <stdio.h>

/*
 * One table of options a command: it reads the command line into the command's
 * own struct of settings, and prints the command's --help.
 */
enum option_kind {
    OPTION_FLAG,    /* bool */
    OPTION_TEXT,    /* const char *, from the command line */
    OPTION_INTEGER, /* int, within minimum and maximum */
    OPTION_NUMBER,  /* double, within minimum and maximum */
    OPTION_WORDS,   /* struct option_words: the option may be given again and again */
    OPTION_TIME,    /* struct photo_time */
    OPTION_LAB,     /* struct option_lab */
    OPTION_CORNERS, /* struct option_corners */
    OPTION_FORMAT   /* enum table_format */
};

/* Four corners given by hand: X,Y,X,Y,X,Y,X,Y in stored pixels. */
struct option_corners {
    bool given;
    struct quad quad;
};

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

struct option {
    const char *name;  /* without the hyphens; NULL ends the table */
    const char *value; /* what the help calls its value; NULL for a flag */
    const char *summary;
    enum option_kind kind;
    size_t offset; /* of the member in the settings */
    int minimum;
    int maximum;
};

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
