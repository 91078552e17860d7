#include "inventory/print_setups.h"

#include "base/memory.h"
#include "base/utf8.h"
#include "columns.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* --- keeping ---------------------------------------------------------------------------------- */

static enum status check_name(const char *name, struct error *error)
{
    char folded[4 * SETUP_NAME_BYTES_MAX];

    if (name[0] && utf8_fold(name, folded, sizeof folded) && folded[0])
        return STATUS_OK;
    return error_set(error, STATUS_USAGE, "a name to keep it by has 1 to %d bytes",
                     SETUP_NAME_BYTES_MAX);
}

enum status inventory_keep_printer(struct inventory *inventory,
                                   const struct inventory_printer *printer, struct error *error)
{
    const struct bound bound[] = {
        bound_text(printer->name),       bound_text(printer->name),
        bound_real(printer->scale.x),    bound_real(printer->scale.y),
        bound_real(printer->front_mm.x), bound_real(printer->front_mm.y),
        bound_real(printer->back_mm.x),  bound_real(printer->back_mm.y),
    };
    const struct query query = {"INSERT OR REPLACE INTO printer VALUES (fold(?),?,?,?,?,?,?,?)",
                                bound, COUNT(bound)};
    enum status status = check_name(printer->name, error);

    return status ? status : database_execute(inventory, &query, error);
}

enum status inventory_keep_stock(struct inventory *inventory, const struct inventory_stock *stock,
                                 struct error *error)
{
    const struct bound bound[] = {
        bound_text(stock->name),       bound_text(stock->name),       bound_real(stock->page_mm.x),
        bound_real(stock->page_mm.y),  bound_integer(stock->rows),    bound_integer(stock->columns),
        bound_real(stock->label_mm.x), bound_real(stock->label_mm.y), bound_real(stock->first_mm.x),
        bound_real(stock->first_mm.y), bound_real(stock->pitch_mm.x), bound_real(stock->pitch_mm.y),
    };
    const struct query query = {
        "INSERT OR REPLACE INTO label_stock VALUES (fold(?),?,?,?,?,?,?,?,?,?,?,?)", bound,
        COUNT(bound)};
    enum status status = check_name(stock->name, error);

    return status ? status : database_execute(inventory, &query, error);
}

/* --- dropping --------------------------------------------------------------------------------- */

/* A thing kept in a table of its own; `what` names it in the message. */
struct kind {
    const char *what;
    const char *count_sql;
    const char *drop_sql;
};

static enum status drop(struct inventory *inventory, const struct kind *kind, const char *name,
                        struct error *error)
{
    const struct bound bound = bound_text(name);
    const struct query count = {kind->count_sql, &bound, 1}, query = {kind->drop_sql, &bound, 1};
    long long there = 0;
    enum status status = database_lookup(inventory, &count, &there, error);

    if (!status && !there)
        status = error_set(error, STATUS_INVENTORY, "no %s '%.60s' is kept in %s", kind->what, name,
                           inventory->path);
    return status ? status : database_execute(inventory, &query, error);
}

enum status inventory_drop_printer(struct inventory *inventory, const char *name,
                                   struct error *error)
{
    const struct kind kind = {"printer", "SELECT count(*) FROM printer WHERE folded = fold(?)",
                              "DELETE FROM printer WHERE folded = fold(?)"};

    return drop(inventory, &kind, name, error);
}

enum status inventory_drop_stock(struct inventory *inventory, const char *name, struct error *error)
{
    const struct kind kind = {"kind of labels",
                              "SELECT count(*) FROM label_stock WHERE folded = fold(?)",
                              "DELETE FROM label_stock WHERE folded = fold(?)"};

    return drop(inventory, &kind, name, error);
}

/* --- reading ---------------------------------------------------------------------------------- */

static const struct column printer_columns[] = {
    COLUMN_NAME(struct inventory_printer, name, "name"),
    COLUMN(struct inventory_printer, scale, "scale_x, scale_y"),
    COLUMN(struct inventory_printer, front_mm, "front_x_mm, front_y_mm"),
    COLUMN(struct inventory_printer, back_mm, "back_x_mm, back_y_mm"),
    {0}};

static const struct column stock_columns[] = {
    COLUMN_NAME(struct inventory_stock, name, "name"),
    COLUMN(struct inventory_stock, page_mm, "page_x_mm, page_y_mm"),
    COLUMN(struct inventory_stock, rows, "rows"),
    COLUMN(struct inventory_stock, columns, "columns"),
    COLUMN(struct inventory_stock, label_mm, "label_x_mm, label_y_mm"),
    COLUMN(struct inventory_stock, first_mm, "first_x_mm, first_y_mm"),
    COLUMN(struct inventory_stock, pitch_mm, "pitch_x_mm, pitch_y_mm"),
    {0}};

enum status inventory_read_setups(struct inventory *inventory, struct inventory_setups *setups,
                                  struct error *error)
{
    const struct selection of_printers = {.columns = printer_columns,
                                          .after = "FROM printer ORDER BY folded"};
    const struct selection of_stocks = {.columns = stock_columns,
                                        .after = "FROM label_stock ORDER BY folded"};
    struct columns_list printers = {.size = sizeof *setups->printers, .what = "the printers"};
    struct columns_list stocks = {.size = sizeof *setups->stocks, .what = "the labels"};
    enum status status = columns_read(inventory, &of_printers, &printers, error);

    if (!status)
        status = columns_read(inventory, &of_stocks, &stocks, error);
    *setups = (struct inventory_setups){printers.items, printers.count, stocks.items, stocks.count};
    return status;
}

void inventory_setups_release(struct inventory_setups *setups)
{
    free(setups->printers);
    free(setups->stocks);
    memset(setups, 0, sizeof *setups);
}

/* --- finding ---------------------------------------------------------------------------------- */

enum status inventory_setups_printer(const struct inventory_setups *setups, const char *name,
                                     const struct inventory_printer **printer, struct error *error)
{
    for (size_t i = 0; i < setups->printer_count; i++)
        if (utf8_same(setups->printers[i].name, name)) {
            *printer = &setups->printers[i];
            return STATUS_OK;
        }
    return error_set(error, STATUS_INVENTORY,
                     "no printer '%.60s' is kept%s%s%s; 'woad printer NAME' keeps how it prints, "
                     "after its page of 'woad sheet test'",
                     name, setups->printer_count ? "; one there is: '" : "",
                     setups->printer_count ? setups->printers[0].name : "",
                     setups->printer_count ? "'" : "");
}

const struct inventory_stock *inventory_setups_stock(const struct inventory_setups *setups,
                                                     const char *name)
{
    for (size_t i = 0; i < setups->stock_count; i++)
        if (utf8_same(setups->stocks[i].name, name))
            return &setups->stocks[i];
    return NULL;
}
