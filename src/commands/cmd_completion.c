#include "commands.h"

#include <string.h>

/*
 * What a shell needs to complete woad's command lines, written from the tables of commands and
 * options. An option's value that is one of several words ("table|csv|json") is completed to one
 * of these, any other to a file's name.
 */

static const struct option no_options[] = {{0}};

/* Print text within single quotes; a quote in it closes them, stands escaped, and opens them. */
static void put_quoted(const char *text, FILE *out)
{
    for (; *text; text++) {
        if (*text == '\'')
            fputs("'\\''", out);
        else
            fputc(*text, out);
    }
}

/* The words a value is one of, parted by blanks: "table csv json"; false: it is anything. */
static bool put_choices(const struct option *option, FILE *out)
{
    if (!option->value || !strchr(option->value, '|'))
        return false;
    for (const char *at = option->value; *at; at++)
        fputc(*at == '|' ? ' ' : *at, out);
    return true;
}

/* --- bash ----------------------------------------------------------------------------------- */

static void bash_command(const struct command *command, FILE *out)
{
    fprintf(out, "    %s) options='", command->name);
    for (const struct option *option = command->options; option->name; option++)
        fprintf(out, "--%s ", option->name);
    fputs("--help'\n", out);
    for (const struct option *option = command->options; option->name; option++) {
        if (!option->value || !strchr(option->value, '|'))
            continue;
        fprintf(out, "        [ \"$before\" = --%s ] && choices='", option->name);
        put_choices(option, out);
        fputs("'\n", out);
    }
    fputs("        ;;\n", out);
}

static void bash(FILE *out)
{
    fputs("_woad() {\n"
          "    local word=${COMP_WORDS[COMP_CWORD]} before=${COMP_WORDS[COMP_CWORD-1]}\n"
          "    local options='' choices=''\n"
          "    case ${COMP_WORDS[1]} in\n",
          out);
    for (size_t i = 0; commands_at(i); i++)
        bash_command(commands_at(i), out);
    fputs("    esac\n"
          "    [ \"$COMP_CWORD\" -gt 1 ] || choices='",
          out);
    for (size_t i = 0; commands_at(i); i++)
        fprintf(out, "%s ", commands_at(i)->name);
    fputs("'\n"
          "    COMPREPLY=()\n"
          "    if [ -n \"$choices\" ]; then\n"
          "        COMPREPLY=($(compgen -W \"$choices\" -- \"$word\"))\n"
          "    elif [ \"${word#-}\" != \"$word\" ]; then\n"
          "        COMPREPLY=($(compgen -W \"$options\" -- \"$word\"))\n"
          "    fi\n"
          "}\n"
          "complete -o default -F _woad woad\n",
          out);
}

/* --- zsh ------------------------------------------------------------------------------------ */

/* Text in a description: brackets and colons have a meaning of their own. */
static void zsh_text(const char *text, FILE *out)
{
    for (; *text; text++) {
        if (strchr("[]:\\", *text))
            fputc('\\', out);
        put_quoted((const char[]){*text, '\0'}, out);
    }
}

static void zsh_option(const struct option *option, FILE *out)
{
    fprintf(out, " \\\n            '*--%s[", option->name);
    zsh_text(option->summary, out);
    fputc(']', out);
    if (option->value) {
        fputc(':', out);
        zsh_text(option->value, out);
        fputs(strchr(option->value, '|') ? ":(" : ":_files", out);
        if (put_choices(option, out))
            fputc(')', out);
    }
    fputc('\'', out);
}

static void zsh(FILE *out)
{
    fputs("#compdef woad\n"
          "_woad() {\n"
          "    local -a commands\n"
          "    commands=(\n",
          out);
    for (size_t i = 0; commands_at(i); i++) {
        fprintf(out, "        '%s:", commands_at(i)->name);
        zsh_text(commands_at(i)->summary, out);
        fputs("'\n", out);
    }
    fputs("    )\n"
          "    if ((CURRENT == 2)); then\n"
          "        _describe command commands\n"
          "        return\n"
          "    fi\n"
          "    local command=$words[2]\n"
          "    shift words\n"
          "    ((CURRENT--))\n"
          "    case $command in\n",
          out);
    for (size_t i = 0; commands_at(i); i++) {
        fprintf(out, "        %s) _arguments '*:word:_files'", commands_at(i)->name);
        for (const struct option *option = commands_at(i)->options; option->name; option++)
            zsh_option(option, out);
        fputs(" ;;\n", out);
    }
    fputs("    esac\n"
          "}\n"
          "if [ \"$funcstack[1]\" = _woad ]; then _woad; else compdef _woad woad; fi\n",
          out);
}

/* --- fish ----------------------------------------------------------------------------------- */

static void fish_option(const struct command *command, const struct option *option, FILE *out)
{
    fprintf(out, "complete -c woad -n '__fish_seen_subcommand_from %s' -l %s", command->name,
            option->name);
    if (option->value)
        fputs(strchr(option->value, '|') ? " -x -a '" : " -r", out);
    if (put_choices(option, out))
        fputc('\'', out);
    fputs(" -d '", out);
    put_quoted(option->summary, out);
    fputs("'\n", out);
}

static void fish(FILE *out)
{
    for (size_t i = 0; commands_at(i); i++) {
        const struct command *command = commands_at(i);

        fprintf(out, "complete -c woad -n __fish_use_subcommand -f -a %s -d '", command->name);
        put_quoted(command->summary, out);
        fputs("'\n", out);
        for (const struct option *option = command->options; option->name; option++)
            fish_option(command, option, out);
    }
}

/* --- the command ---------------------------------------------------------------------------- */

static int run_completion(const struct command *command, int count, char **words)
{
    struct error error;
    enum status status = options_parse(command, &count, words, NULL, &error);

    if (status)
        return commands_report(status, &error);
    if (strcmp(words[0], "bash") == 0)
        bash(stdout);
    else if (strcmp(words[0], "zsh") == 0)
        zsh(stdout);
    else if (strcmp(words[0], "fish") == 0)
        fish(stdout);
    else
        status = error_set(&error, STATUS_USAGE,
                           "completion is made for bash, zsh and fish, not for '%.40s'", words[0]);
    return commands_report(status, &error);
}

const struct command command_completion = {
    .name = "completion",
    .operands = "bash|zsh|fish",
    .summary = "print what a shell needs to complete woad's command lines",
    .options = no_options,
    .operands_minimum = 1,
    .operands_maximum = 1,
    .run = run_completion,
};
