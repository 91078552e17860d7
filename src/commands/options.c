#include "options.h"

#include "base/nearest.h"

#include <errno.h>
#include <limits.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#define HELP_WIDTH 28 /* columns before an option's summary */

/* --- values --------------------------------------------------------------------------------- */

static enum status read_integer(const struct option *option, const char *text, int *integer,
                                struct error *error)
{
    char *end;
    long number;

    errno = 0;
    number = strtol(text, &end, 10);
    if (end == text || *end || errno || number < option->minimum || number > option->maximum)
        return error_set(error, STATUS_USAGE,
                         "--%s takes a whole number from %d to %d, not '%.60s'", option->name,
                         option->minimum, option->maximum, text);
    *integer = (int)number;
    return STATUS_OK;
}

static enum status read_number(const struct option *option, const char *text, double *number,
                               struct error *error)
{
    char *end;
    double read = strtod(text, &end);

    if (end == text || *end || !isfinite(read) || read < option->minimum || read > option->maximum)
        return error_set(error, STATUS_USAGE, "--%s takes a number from %d to %d, not '%.60s'",
                         option->name, option->minimum, option->maximum, text);
    *number = read;
    return STATUS_OK;
}

static enum status add_word(const struct option *option, const char *text,
                            struct option_words *words, struct error *error)
{
    if (words->count == option->maximum)
        return error_set(error, STATUS_USAGE, "--%s is given at most %d times, '%.60s' is one more",
                         option->name, option->maximum, text);
    words->words[words->count++] = text;
    return STATUS_OK;
}

/* Read the next of several numbers; all but the last end in a comma. */
static const char *read_coordinate(const char *text, bool last, double *number)
{
    char *end;

    *number = strtod(text, &end);
    if (end == text || !isfinite(*number) || fabs(*number) > 1e6 || *end != (last ? '\0' : ','))
        return NULL;
    return end + !last;
}

static enum status read_corners(const struct option *option, const char *text,
                                struct told_corners *corners, struct error *error)
{
    char name[64];

    snprintf(name, sizeof name, "--%s", option->name);
    return told_corners_parse(text, name, corners, error);
}

static enum status read_lab(const struct option *option, const char *text, struct option_lab *lab,
                            struct error *error)
{
    double numbers[3];
    const char *at = text;

    for (int i = 0; at && i < 3; i++)
        at = read_coordinate(at, i == 2, &numbers[i]);
    if (!at || numbers[0] < 0 || numbers[0] > 100 || fabs(numbers[1]) > 150 ||
        fabs(numbers[2]) > 150)
        return error_set(error, STATUS_USAGE,
                         "--%s takes a colour as L,A,B (L from 0 to 100), not '%.60s'",
                         option->name, text);
    *lab = (struct option_lab){true, {numbers[0], numbers[1], numbers[2]}};
    return STATUS_OK;
}

static enum status read_format(const struct option *option, const char *text,
                               enum table_format *format, struct error *error)
{
    if (table_format_of(text, format))
        return STATUS_OK;
    return error_set(error, STATUS_USAGE, "--%s is table, csv or json, not '%.60s'", option->name,
                     text);
}

static enum status read_time(const struct option *option, const char *text, struct photo_time *time,
                             struct error *error)
{
    struct error reason;

    if (calendar_parse(text, time, &reason))
        return error_set(error, STATUS_USAGE, "--%s: %s", option->name, reason.message);
    return STATUS_OK;
}

static enum status read_value(const struct option *option, const char *text, void *settings,
                              struct error *error)
{
    void *member = (char *)settings + option->offset;

    if (!text[0])
        return error_set(error, STATUS_USAGE, "--%s needs a value (%s), an empty one was given",
                         option->name, option->value);
    switch (option->kind) {
    case OPTION_IS_INTEGER:
        return read_integer(option, text, member, error);
    case OPTION_IS_NUMBER:
        return read_number(option, text, member, error);
    case OPTION_IS_WORDS:
        return add_word(option, text, member, error);
    case OPTION_IS_LAB:
        return read_lab(option, text, member, error);
    case OPTION_IS_TIME:
        return read_time(option, text, member, error);
    case OPTION_IS_CORNERS:
        return read_corners(option, text, member, error);
    case OPTION_IS_FORMAT:
        return read_format(option, text, member, error);
    default:
        *(const char **)member = text;
        return STATUS_OK;
    }
}

/* --- the line ------------------------------------------------------------------------------- */

static const struct option *find_option(const struct command *command, const char *name,
                                        size_t length)
{
    for (const struct option *option = command->options; option->name; option++)
        if (strlen(option->name) == length && strncmp(option->name, name, length) == 0)
            return option;
    return NULL;
}

static enum status unknown_option(const struct command *command, const char *word, size_t length,
                                  struct error *error)
{
    char name[NEAREST_LETTERS_MAX + 1];
    struct nearest nearest;

    snprintf(name, sizeof name, "%.*s", (int)(length < sizeof name ? length : sizeof name), word);
    nearest = nearest_start(name);
    for (const struct option *option = command->options; option->name; option++)
        nearest_offer(&nearest, option->name);
    if (nearest.best)
        return error_set(error, STATUS_USAGE, "%s has no option --%s; did you mean --%s?",
                         command->name, name, nearest.best);
    return error_set(error, STATUS_USAGE,
                     "%s has no option --%s; 'woad %s --help' lists those it has", command->name,
                     name, command->name);
}

/* Read the option at words[*at] and step `*at` past it and its value. */
static enum status take_option(const struct command *command, int count, char **words, int *at,
                               void *settings, struct error *error)
{
    const char *name = words[*at] + 2;
    size_t length = strcspn(name, "=");
    const char *value = name[length] ? name + length + 1 : NULL;
    const struct option *option = find_option(command, name, length);

    (*at)++;
    if (!option)
        return unknown_option(command, name, length, error);
    if (option->kind == OPTION_IS_FLAG) {
        if (value)
            return error_set(error, STATUS_USAGE, "--%s takes no value, '%.60s' was given",
                             option->name, value);
        *(bool *)((char *)settings + option->offset) = true;
        return STATUS_OK;
    }
    if (!value && *at >= count)
        return error_set(error, STATUS_USAGE, "--%s needs a value (%s), the line ends there",
                         option->name, option->value);
    return read_value(option, value ? value : words[(*at)++], settings, error);
}

static enum status check_operands(const struct command *command, int operands, char **words,
                                  struct error *error)
{
    if (operands < command->operands_minimum)
        return error_set(error, STATUS_USAGE, "%s needs %s; see 'woad %s --help'", command->name,
                         command->operands, command->name);
    if (command->operands_maximum >= 0 && operands > command->operands_maximum)
        return error_set(error, STATUS_USAGE,
                         "%s: '%.200s' is one word too many; quote a name of several words, "
                         "see 'woad %s --help'",
                         command->name, words[command->operands_maximum], command->name);
    return STATUS_OK;
}

enum status options_parse(const struct command *command, int *count, char **words, void *settings,
                          struct error *error)
{
    enum status status = STATUS_OK;
    int operands = 0;
    bool ended = false;

    for (int at = 0; !status && at < *count;) {
        if (ended || words[at][0] != '-' || !words[at][1])
            words[operands++] = words[at++];
        else if (words[at][1] != '-')
            status = error_set(error, STATUS_USAGE,
                               "%s has no option '%.60s'; options are words behind two "
                               "hyphens, and '--' goes before a file whose name begins with one",
                               command->name, words[at]);
        else if (!words[at][2])
            ended = ++at;
        else
            status = take_option(command, *count, words, &at, settings, error);
    }
    *count = operands;
    return status ? status : check_operands(command, operands, words, error);
}

/* --- help ----------------------------------------------------------------------------------- */

bool options_ask_help(int count, char **words)
{
    for (int i = 0; i < count && strcmp(words[i], "--") != 0; i++)
        if (strcmp(words[i], "--help") == 0 || strcmp(words[i], "-h") == 0)
            return true;
    return false;
}

static void print_option(const char *name, const char *value, const char *summary, FILE *out)
{
    int width = fprintf(out, "  --%s%s%s", name, value ? " " : "", value ? value : "");

    if (width >= HELP_WIDTH)
        fprintf(out, "\n%*s%s\n", HELP_WIDTH, "", summary);
    else
        fprintf(out, "%*s%s\n", HELP_WIDTH - width, "", summary);
}

void options_print_help(const struct command *command, FILE *out)
{
    bool any = command->options->name != NULL;

    fprintf(out, "woad %s%s%s%s\n%s\n\n", command->name, any ? " [OPTION...]" : "",
            command->operands[0] ? " " : "", command->operands, command->summary);
    for (const struct option *option = command->options; option->name; option++)
        print_option(option->name, option->value, option->summary, out);
    print_option("help", NULL, "print this", out);
}
