#include "commands.h"
#include "confinement.h"

#include <errno.h>
#include <fcntl.h>
#include <string.h>
#include <unistd.h>

/* A file opened while a standard one is closed would take its place, and messages would end up in
 * it. What stands in for a closed one can't be used either way, so that using it still fails. */
static bool stand_in_for_closed(void)
{
    for (int wanted = STDIN_FILENO; wanted <= STDERR_FILENO; wanted++)
        if (fcntl(wanted, F_GETFD) < 0 &&
            open("/dev/null", wanted == STDIN_FILENO ? O_WRONLY : O_RDONLY) != wanted)
            return false;
    return true;
}

/* What was printed may still be on its way to a full disk. */
static int finish_output(int status)
{
    struct error error;

    if (fflush(stdout) == 0 && !ferror(stdout))
        return status;
    error_set(&error, STATUS_FILE,
              "standard output can't be written (%s); check that the disk has room",
              strerror(errno));
    return status ? status : commands_report(STATUS_FILE, &error);
}

/* "woad --help" and "woad --version" are "woad help" and "woad version". */
static const char *command_name(const char *word)
{
    if (strcmp(word, "--help") == 0 || strcmp(word, "-h") == 0)
        return "help";
    return strcmp(word, "--version") == 0 ? "version" : word;
}

static int run_command(int count, char **words)
{
    struct error error;
    const struct command *command = commands_find(command_name(words[0]), &error);

    if (!command) {
        commands_report(error.status, &error);
        commands_print_list(stderr);
        return STATUS_USAGE;
    }
    if (options_ask_help(count - 1, words + 1)) {
        options_print_help(command, stdout);
        return STATUS_OK;
    }
    if (command != &command_page) /* which opens the browser and answers it */
        confinement_begin();
    return command->run(command, count - 1, words + 1);
}

int main(int argc, char **argv)
{
    if (!stand_in_for_closed())
        return STATUS_FILE;
    if (argc < 2) {
        fputs("woad: no command was given; name one of these\n", stderr);
        commands_print_list(stderr);
        return STATUS_USAGE;
    }
    return finish_output(run_command(argc - 1, argv + 1));
}
