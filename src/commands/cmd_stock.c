#include "commands.h"
#include "files/names.h"
#include "output/sheets.h"
#include "output/print_setup.h"

#include <stdio.h>
#include <string.h>

struct stock_settings {
    const char *label;
    const char *gap;
    const char *margin;
    int rows;
    int columns;
    const char *page;
    bool forget;
    const char *inventory;
    enum table_format format;
};

static const struct option stock_options[] = {
    OPTION(struct stock_settings, label, "label", "WIDTHxHEIGHT", "a label's size in mm"),
    OPTION(struct stock_settings, gap, "gap", "XxY",
           "between labels, in mm across and down; none if not told"),
    OPTION(struct stock_settings, margin, "margin", "XxY",
           "to the first label, in mm from the left and the top; as from the right and the bottom "
           "if not told"),
    OPTION_BETWEEN(struct stock_settings, rows, 1, 100, "rows", "N", "labels down a page"),
    OPTION_BETWEEN(struct stock_settings, columns, 1, 100, "columns", "N", "labels across a page"),
    OPTION(struct stock_settings, page, "page", "SIZE",
           "a4, a5, letter, or WIDTHxHEIGHT in mm; a4 if not told"),
    OPTION_SWITCH(struct stock_settings, forget, "forget", "drop the labels kept by that name"),
    COMMANDS_INVENTORY_OPTION(struct stock_settings),
    COMMANDS_FORMAT_OPTION(struct stock_settings),
    {0}};

/* --- listing ---------------------------------------------------------------------------------- */

static void put_stock(struct table *table, const struct inventory_stock *stock)
{
    table_row(table);
    table_text(table, COLUMN("stock"), stock->name);
    table_number(table, COLUMN("rows"), stock->rows);
    table_number(table, COLUMN("columns"), stock->columns);
    table_number(table, COLUMN("label_x_mm", .decimals = 1), stock->label_mm.x);
    table_number(table, COLUMN("label_y_mm", .decimals = 1), stock->label_mm.y);
    table_number(table, COLUMN("gap_x_mm", .decimals = 1), stock->pitch_mm.x - stock->label_mm.x);
    table_number(table, COLUMN("gap_y_mm", .decimals = 1), stock->pitch_mm.y - stock->label_mm.y);
    table_number(table, COLUMN("margin_x_mm", .decimals = 2), stock->first_mm.x);
    table_number(table, COLUMN("margin_y_mm", .decimals = 2), stock->first_mm.y);
    table_number(table, COLUMN("page_x_mm", .decimals = 1), stock->page_mm.x);
    table_number(table, COLUMN("page_y_mm", .decimals = 1), stock->page_mm.y);
}

/* Those built in, and those kept if there is an inventory. */
static enum status list(const struct stock_settings *settings, struct error *error)
{
    struct inventory_setups setups = {0};
    struct table table = {0};
    struct error none;
    size_t count;
    const struct inventory_stock *built_in = sheet_label_stocks(&count);
    enum status status = print_setup_load(settings->inventory, &setups, &none);

    if (status == STATUS_MEMORY)
        *error = none;
    else
        status = STATUS_OK;
    for (size_t i = 0; i < count; i++)
        put_stock(&table, &built_in[i]);
    for (size_t i = 0; i < setups.stock_count; i++)
        put_stock(&table, &setups.stocks[i]);
    if (!status)
        status = commands_print(&table, settings->format, error);
    table_release(&table);
    inventory_setups_release(&setups);
    return status;
}

/* --- keeping ---------------------------------------------------------------------------------- */

static enum status read_measures(const struct stock_settings *settings,
                                 struct inventory_stock *stock, struct error *error)
{
    const struct pair_option label = {"label", settings->label, 3, PAGE_SIDE_MAX_MM, NULL};
    const struct pair_option gap = {"gap", settings->gap, 0, 100, NULL};
    const struct pair_option margin = {"margin", settings->margin, 0, PAGE_SIDE_MAX_MM, NULL};
    struct point between = {0, 0}, last;
    enum status status = print_setup_page(settings->page, false, &stock->page_mm, error);

    if (!status)
        status = print_setup_pair(&label, &stock->label_mm, error);
    if (!status)
        status = print_setup_pair(&gap, &between, error);
    if (status)
        return status;
    stock->pitch_mm = point_add(stock->label_mm, between);
    last = point_add(stock->label_mm, (struct point){(stock->columns - 1) * stock->pitch_mm.x,
                                                     (stock->rows - 1) * stock->pitch_mm.y});
    stock->first_mm = point_scale(point_subtract(stock->page_mm, last), 0.5);
    status = print_setup_pair(&margin, &stock->first_mm, error);
    return status ? status : sheet_check_stock(stock, error);
}

/* A name that is built in would never be found again. */
static enum status check_name(const char *name, struct error *error)
{
    size_t count;
    const struct inventory_stock *built_in = sheet_label_stocks(&count);

    for (size_t i = 0; i < count; i++)
        if (strcmp(built_in[i].name, name) == 0)
            return error_set(error, STATUS_USAGE,
                             "labels of '%s' are built in; keep yours by another name", name);
    return STATUS_OK;
}

static enum status keep(const struct stock_settings *settings, const char *name,
                        struct error *error)
{
    struct inventory_stock stock = {.rows = settings->rows, .columns = settings->columns};
    struct inventory *inventory = NULL;
    bool short_enough =
        snprintf(stock.name, sizeof stock.name, "%s", name) < (int)sizeof stock.name;
    enum status status = check_name(name, error);

    if (!status && (!settings->label || !settings->rows || !settings->columns))
        status = error_set(error, STATUS_USAGE,
                           "of labels, --label, --rows and --columns are wanted, and --gap, "
                           "--margin and --page where they are not as said in the help");
    if (!status)
        status = read_measures(settings, &stock, error);
    if (!short_enough)
        stock.name[0] = '\0'; /* which is refused */
    if (!status)
        status = print_setup_open(settings->inventory, &inventory, error);
    if (!status)
        status = inventory_keep_stock(inventory, &stock, error);
    inventory_close(inventory);
    if (!status)
        fprintf(stderr,
                "woad: '%s' is kept: %d labels a page; 'woad sheet labels --stock' takes "
                "it, and --outlined shows on plain paper whether it fits\n",
                stock.name, stock.rows * stock.columns);
    return status;
}

static enum status forget(const struct stock_settings *settings, const char *name,
                          struct error *error)
{
    struct inventory *inventory = NULL;
    enum status status = print_setup_open(settings->inventory, &inventory, error);

    if (!status)
        status = inventory_drop_stock(inventory, name, error);
    inventory_close(inventory);
    return status;
}

/* --- the command ------------------------------------------------------------------------------ */

static int run_stock(const struct command *command, int count, char **words)
{
    struct stock_settings settings = {.forget = false};
    struct error error;
    enum status status = options_parse(command, &count, words, &settings, &error);

    if (!status && !count)
        status = list(&settings, &error);
    else if (!status && settings.forget)
        status = forget(&settings, words[0], &error);
    else if (!status)
        status = keep(&settings, words[0], &error);
    return commands_report(status, &error);
}

const struct command command_stock = {
    .name = "stock",
    .operands = "[NAME]",
    .summary = "keep a kind of label sheets by its measures; list those there are",
    .options = stock_options,
    .operands_maximum = 1,
    .run = run_stock,
};
