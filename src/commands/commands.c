#include "commands.h"

#include "base/nearest.h"

#include <string.h>
#include <unistd.h>

static const struct command *const command_table[] = {
    &command_measure,   &command_repeat,  &command_inks,         &command_show,
    &command_drying,    &command_compare, &command_near,         &command_cover,
    &command_order,     &command_combine, &command_combinations, &command_sheet,
    &command_printer,   &command_stock,   &command_page,         &command_report,
    &command_export,    &command_import,  &command_amend,        &command_rename,
    &command_merge,     &command_forget,  &command_undo,         &command_history,
    &command_inventory, &command_card,    &command_completion,   &command_help,
    &command_version,
};

#define COMMAND_COUNT (sizeof command_table / sizeof *command_table)

const char *const commands_edition[COMMANDS_EDITIONS] = {"from-2014-11", "before-2014-11"};

const struct command *commands_find(const char *name, struct error *error)
{
    struct nearest nearest = nearest_start(name);

    for (size_t i = 0; i < COMMAND_COUNT; i++) {
        if (strcmp(command_table[i]->name, name) == 0)
            return command_table[i];
        nearest_offer(&nearest, command_table[i]->name);
    }
    if (nearest.best)
        error_set(error, STATUS_USAGE, "there is no command '%.60s'; did you mean '%s'?", name,
                  nearest.best);
    else
        error_set(error, STATUS_USAGE, "there is no command '%.60s'; those there are stand below",
                  name);
    return NULL;
}

const struct command *commands_at(size_t place)
{
    return place < COMMAND_COUNT ? command_table[place] : NULL;
}

void commands_print_list(FILE *out)
{
    fputs("woad COMMAND [OPTION...] [WORD...]\n"
          "Measured colour from a photo of an ink swatch chart beside a colour reference card.\n\n",
          out);
    for (size_t i = 0; i < COMMAND_COUNT; i++)
        fprintf(out, "  %-14s%s\n", command_table[i]->name, command_table[i]->summary);
    fputs("\n'woad COMMAND --help' lists a command's options; 'man woad' tells more.\n", out);
}

int commands_report(enum status status, const struct error *error)
{
    if (status)
        fprintf(stderr, "woad: %s\n", error->message);
    return (int)status;
}

enum status commands_print(const struct table *table, enum table_format format, struct error *error)
{
    return table_write(table, format, stdout, error);
}

static enum status read_edition(const char *edition, struct card *card, struct error *error)
{
    char path[1024];
    enum status status = card_find(edition, path, sizeof path, error);

    return status ? status : card_read(path, card, error);
}

/* The other edition only serves to say that the wrong one was given: without its file, so be it. */
static enum status add_other_edition(const char *edition, struct card *card, struct error *error)
{
    struct card other;
    enum status status = read_edition(edition, &other, error);

    if (status)
        return status == STATUS_MEMORY ? status : STATUS_OK;
    snprintf(card->other_edition, sizeof card->other_edition, "%s", edition);
    memcpy(card->other_patch, other.patch, sizeof card->other_patch);
    return STATUS_OK;
}

enum status commands_read_card(const char *given, struct card *card, struct error *error)
{
    given = given ? given : commands_edition[0];
    for (int i = 0; i < COMMANDS_EDITIONS; i++) {
        enum status status;

        if (strcmp(given, commands_edition[i]) != 0)
            continue;
        status = read_edition(given, card, error);
        return status ? status : add_other_edition(commands_edition[!i], card, error);
    }
    if (!strpbrk(given, "/.") && access(given, F_OK))
        return error_set(error, STATUS_USAGE,
                         "the card '%.60s' is no edition and no file that is there; the editions "
                         "are %s and %s",
                         given, commands_edition[0], commands_edition[1]);
    return card_read(given, card, error);
}
