#ifndef WOAD_INVENTORY_COLUMNS_H
#define WOAD_INVENTORY_COLUMNS_H

/* Private to src/inventory: rows of a query as structs. */

#include "database.h"
#include "values/geometry.h"

/* What a column is; some take several expressions, in the order told. */
enum column_kind {
    COLUMN_IS_INTEGER,
    COLUMN_IS_UNSIGNED,
    COLUMN_IS_ID,
    COLUMN_IS_YES,
    COLUMN_IS_REAL,
    COLUMN_IS_TEXT,       /* copied; NULL stays NULL */
    COLUMN_IS_NAME,       /* into an array of characters; cut off */
    COLUMN_IS_FOUND,      /* what a cell holds, in words */
    COLUMN_IS_LAB,        /* L, a, b */
    COLUMN_IS_POINT,      /* x, y */
    COLUMN_IS_TIME,       /* seconds, offset, and the word for its source */
    COLUMN_IS_COVARIANCE, /* LL, La, Lb, aa, ab, bb */
};

/* A column of a query, and the member of the row's struct that it is read into. */
struct column {
    const char *sql; /* NULL ends the table */
    enum column_kind kind;
    size_t offset, size; /* of the member */
};

/*
 * A column's kind follows from the type of the member, so the two cannot
 * disagree; a type that is not listed does not compile.
 */
/* clang-format off */
#define COLUMN_KIND(member) _Generic(member,                                                       \
    int: COLUMN_IS_INTEGER,                                                                        \
    unsigned: COLUMN_IS_UNSIGNED,                                                                  \
    long long: COLUMN_IS_ID,                                                                       \
    bool: COLUMN_IS_YES,                                                                           \
    double: COLUMN_IS_REAL,                                                                        \
    char *: COLUMN_IS_TEXT,                                                                        \
    struct lab: COLUMN_IS_LAB,                                                                     \
    struct point: COLUMN_IS_POINT,                                                                 \
    struct photo_time: COLUMN_IS_TIME,                                                             \
    double *: COLUMN_IS_COVARIANCE)
/* clang-format on */

#define COLUMN_INTO(row, member, its_kind, its_sql)                                                \
    {                                                                                              \
        .sql = (its_sql), .kind = (its_kind), .offset = offsetof(row, member),                     \
        .size = sizeof(((row *)0)->member)                                                         \
    }
#define COLUMN(row, member, sql) COLUMN_INTO(row, member, COLUMN_KIND(((row *)0)->member), sql)
#define COLUMN_NAME(row, member, sql) COLUMN_INTO(row, member, COLUMN_IS_NAME, sql)
#define COLUMN_FOUND(row, member, sql) COLUMN_INTO(row, member, COLUMN_IS_FOUND, sql)

/* A query whose columns are the table's. */
struct selection {
    const char *before; /* what stands before SELECT; NULL: nothing */
    const struct column *columns;
    const char *after; /* FROM and what follows */
    const struct bound *bound;
    int bound_count;
};

/* Who takes the rows. `row` is room for one, zeroed and filled anew for each; its texts are the
 * taker's once `take` returns STATUS_OK. */
struct columns_taker {
    void *row;
    size_t size;
    enum status (*take)(void *context, void *row, struct error *error);
    void *context;
};

/**
 * Ask, and give each row to the taker.
 *
 * Returns: STATUS_OK; STATUS_INVENTORY; STATUS_MEMORY; what `take` returns, and then it ends.
 */
MUST_USE enum status columns_each(struct inventory *inventory, const struct selection *selection,
                                  const struct columns_taker *taker, struct error *error);

/* All rows of a query, `size` bytes each. */
struct columns_list {
    size_t size;
    const char *what; /* "the inks" */
    void *items;
    size_t count, capacity;
};

/**
 * Ask, and list the rows; `size` and `what` are set beforehand.
 *
 * Owns:    the caller frees the items and their texts; on failure there are none.
 * Returns: STATUS_OK; STATUS_INVENTORY; STATUS_MEMORY.
 */
MUST_USE enum status columns_read(struct inventory *inventory, const struct selection *selection,
                                  struct columns_list *list, struct error *error);

#endif
