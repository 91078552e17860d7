#include "prices.h"

#include "base/nearest.h"
#include "base/utf8.h"

#include <ctype.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#define LIST_BYTES_MAX ((size_t)1024 * 1024)
#define PRICE_MAX 1e6
#define CURRENCY_LETTERS 4 /* "EUR", "Fr." */
#define PRICE_SIZE 32

/* --- a number ------------------------------------------------------------------------------- */

static bool is_digit(char letter)
{
    return letter >= '0' && letter <= '9';
}

/* Whether a piece beside a number may be a currency: a sign, or a few letters. */
static bool is_currency(const char *piece, size_t length)
{
    size_t letters = 0;

    for (size_t i = 0; i < length; i++) {
        if (piece[i] == '.' && letters > 0)
            continue;
        if (is_digit(piece[i]) || strchr(",.'+-", piece[i]))
            return false;
        letters += piece[i] != ' ' && (piece[i] & 0xC0) != 0x80;
    }
    return letters <= CURRENCY_LETTERS;
}

/* "4.-" is as good a price as "4 EUR". */
static bool is_tail(const char *piece)
{
    return !piece[strspn(piece, "., -")] || is_currency(piece, strlen(piece));
}

/* The digits of a price in the C locale's spelling: "1.234,50" becomes "1234.50". */
static bool spell(const char *from, size_t length, char spelt[PRICE_SIZE])
{
    size_t decimals = length, written = 0, marks = 0;

    for (size_t i = 0; i < length; i++)
        if (from[i] == ',' || from[i] == '.') {
            decimals = i;
            marks++;
        }
    if (marks == 1 && length - decimals == 4 && decimals > 0 && from[0] != '0')
        return false; /* a thousand, or one and a quarter? */
    if (length - decimals == 4 || length >= PRICE_SIZE)
        decimals = marks > 1 ? length : decimals;
    for (size_t i = 0; i < length && written + 1 < PRICE_SIZE; i++) {
        if (is_digit(from[i]))
            spelt[written++] = from[i];
        else if (i == decimals)
            spelt[written++] = '.';
        else if (!strchr(",.' ", from[i]) || length - i < 4)
            return false;
    }
    spelt[written] = '\0';
    return written > 0;
}

bool prices_number(const char *text, double *price)
{
    size_t first = strcspn(text, "0123456789"), end = strlen(text);
    char spelt[PRICE_SIZE];

    while (end > first && !is_digit(text[end - 1]))
        end--;
    if (first > 0 && (text[first - 1] == ',' || text[first - 1] == '.'))
        first -= first == 1 || text[first - 2] == ' ' ? 1 : 0; /* ".50" */
    if (end <= first || !is_currency(text, first) || !is_tail(text + end) ||
        !spell(text + first, end - first, spelt))
        return false;
    *price = strtod(spelt, NULL);
    return *price <= PRICE_MAX;
}

/* --- the list ------------------------------------------------------------------------------- */

struct list {
    const char *path;
    struct csv csv;
    const struct measured_range *measured;
    double *prices;
    size_t listed; /* of the inks with a colour */
};

bool prices_is_header(const struct csv *csv)
{
    const char *first = csv_field(csv, 1, 1);

    return utf8_same(first, "ink") || utf8_same(first, "inks") || utf8_same(first, "name");
}

/* An ink that the inventory knows by another spelling is a slip; of others it knows nothing. */
static enum status refuse_slip(const struct list *list, size_t line, const char *name,
                               struct error *error)
{
    const struct range *range = &list->measured->range;

    for (size_t i = 0; i < range->count; i++)
        if (nearest_is_slip(name, range->inks[i].name))
            return error_set(error, STATUS_INVENTORY,
                             "%s: row %zu: the inventory knows no ink '%s', did you mean '%s'? "
                             "mend the name, or leave the row out",
                             list->path, line, name, range->inks[i].name);
    return STATUS_OK;
}

static enum status take_line(struct list *list, size_t line, struct error *error)
{
    const struct measured_range *measured = list->measured;
    const char *text = csv_field(&list->csv, line, 2);
    char *name = csv_field(&list->csv, line, 1);
    double price;

    csv_tidy(name);
    if (!name[0])
        return STATUS_OK;
    if (!prices_number(text, &price))
        return error_set(error, STATUS_FORMAT,
                         "%s: row %zu: the price '%.40s' is no number from 0 to %.0f; write the "
                         "ink, a comma or semicolon, and a price such as 4.50 or 4,50, with "
                         "nothing between thousands",
                         list->path, line, text, PRICE_MAX);
    for (size_t i = 0; i < measured->count; i++)
        if (utf8_same(measured->inks[i].name, name)) {
            list->prices[i] = price;
            list->listed++;
            return STATUS_OK;
        }
    for (size_t i = 0; i < measured->range.count; i++)
        if (utf8_same(measured->range.inks[i].name, name))
            return STATUS_OK; /* known, and has no colour yet */
    return refuse_slip(list, line, name, error);
}

enum status prices_read(const char *path, const struct measured_range *measured, double *prices,
                        struct error *error)
{
    const struct csv_source source = {path, "list of prices", LIST_BYTES_MAX};
    struct list list = {.path = path, .measured = measured, .prices = prices};
    enum status status = csv_read(&source, &list.csv, error);

    for (size_t i = 0; i < measured->count; i++)
        prices[i] = HUGE_VAL;
    for (size_t line = 1; !status && line <= list.csv.line_count; line++)
        if (line > 1 || !prices_is_header(&list.csv))
            status = take_line(&list, line, error);
    if (!status && !list.listed)
        status = error_set(error, STATUS_FORMAT,
                           "%s: tells the price of no ink that has a colour; a line each is "
                           "wanted: the ink's name as 'woad inks' has it, a comma or semicolon, "
                           "the price",
                           path);
    csv_release(&list.csv);
    return status;
}
