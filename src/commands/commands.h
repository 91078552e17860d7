#ifndef WOAD_COMMANDS_COMMANDS_H
#define WOAD_COMMANDS_COMMANDS_H

#include "options.h"
#include "files/card.h"
#include "output/table.h"

#include <stdio.h>

/* The table of commands, in the order they are listed; a file each, cmd_NAME.c. */
extern const struct command command_measure;
extern const struct command command_repeat;
extern const struct command command_inks;
extern const struct command command_show;
extern const struct command command_drying;
extern const struct command command_compare;
extern const struct command command_near;
extern const struct command command_cover;
extern const struct command command_order;
extern const struct command command_combine;
extern const struct command command_combinations;
extern const struct command command_sheet;
extern const struct command command_printer;
extern const struct command command_stock;
extern const struct command command_page;
extern const struct command command_report;
extern const struct command command_export;
extern const struct command command_import;
extern const struct command command_amend;
extern const struct command command_rename;
extern const struct command command_merge;
extern const struct command command_forget;
extern const struct command command_undo;
extern const struct command command_history;
extern const struct command command_inventory;
extern const struct command command_card;
extern const struct command command_completion;
extern const struct command command_help;
extern const struct command command_version;

/** Find a command by its name; NULL, with what to do in `error`, if there is none. */
const struct command *commands_find(const char *name, struct error *error);

/** The commands as they stand in the table; NULL behind the last. */
const struct command *commands_at(size_t place);

void commands_print_list(FILE *out);

/* --- what several commands need ------------------------------------------------------------- */

/** Print a fault as "woad: ..." and return the exit status; nothing for STATUS_OK. */
int commands_report(enum status status, const struct error *error);

/**
 * Print a table on standard output.
 *
 * Returns: STATUS_OK; STATUS_FILE; STATUS_MEMORY.
 */
MUST_USE enum status commands_print(const struct table *table, enum table_format format,
                                    struct error *error);

/**
 * Read a card by the file's path or the name of an edition; NULL: the current edition.
 *
 * Returns: STATUS_OK; STATUS_FILE; STATUS_FORMAT; STATUS_MEMORY.
 */
MUST_USE enum status commands_read_card(const char *given, struct card *card, struct error *error);

/* The editions of the card that come with the program. */
#define COMMANDS_EDITIONS 2
extern const char *const commands_edition[COMMANDS_EDITIONS]; /* the first is the default */

#define COMMANDS_INVENTORY_OPTION(settings)                                                        \
    OPTION(settings, inventory, "inventory", "FILE",                                               \
           "the inventory, instead of $WOAD_INVENTORY or the usual one")
#define COMMANDS_MORE_OPTION(settings)                                                             \
    OPTION_SWITCH(settings, more, "more", "show the figures behind the answer too")
#define COMMANDS_FORMAT_OPTION(settings)                                                           \
    OPTION(settings, format, "format", "table|csv|json",                                           \
           "how to print the rows; a table if not told")

#endif
