#include "commands.h"

static const struct option no_options[] = {{0}};

static int run_help(const struct command *command, int count, char **words)
{
    struct error error;
    const struct command *asked;
    enum status status = options_parse(command, &count, words, NULL, &error);

    if (status)
        return commands_report(status, &error);
    if (count == 0) {
        commands_print_list(stdout);
        return STATUS_OK;
    }
    asked = commands_find(words[0], &error);
    if (!asked) {
        commands_report(error.status, &error);
        commands_print_list(stderr);
        return STATUS_USAGE;
    }
    options_print_help(asked, stdout);
    return STATUS_OK;
}

static int run_version(const struct command *command, int count, char **words)
{
    struct error error;
    enum status status = options_parse(command, &count, words, NULL, &error);

    if (status)
        return commands_report(status, &error);
    puts("woad " WOAD_VERSION);
    return STATUS_OK;
}

const struct command command_help = {
    .name = "help",
    .operands = "[COMMAND]",
    .summary = "list the commands, or the options of one",
    .options = no_options,
    .operands_maximum = 1,
    .run = run_help,
};

const struct command command_version = {
    .name = "version",
    .operands = "",
    .summary = "print the version",
    .options = no_options,
    .run = run_version,
};
