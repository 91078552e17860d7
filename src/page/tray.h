#ifndef WOAD_PAGE_TRAY_H
#define WOAD_PAGE_TRAY_H

#include "base/error.h"
#include "fields.h"
#include "inventory/inventory.h"

#include <stdbool.h>
#include <stdio.h>

/*
 * Photos that came in through the page, kept beside the inventory in a folder
 * that only its owner can read: ID.photo the file as it came, ID.told what was
 * told of it, ID.jpg a small picture of it, ID.csv the names; ID.db, ID.pdf and ID.svg what is on
 * its way out. They are found by their ids alone. What is measured of them does not depend on them.
 */
#define TRAY_ID_SIZE 17 /* 64 random bits in hexadecimal */
#define TRAY_BYTES_MAX (2LL * 1024 * 1024 * 1024)
#define TRAY_PHOTOS_MAX 500

#define TRAY_PATH_SIZE (INVENTORY_PATH_SIZE + 64)

/* One photo in the tray. */
struct tray_photo {
    char id[TRAY_ID_SIZE];
    struct fields told; /* "name" is its file's own */
};

struct tray_list {
    struct tray_photo *items; /* the latest first */
    size_t count;
    size_t capacity;
    long long bytes; /* of the photos */
};

/** Whether a text may be an id: nothing else ever gets into a path. */
bool tray_is_id(const char *text);

/** The path of a photo's file with one of the endings above. */
void tray_path(const char *inventory_path, const char *id, const char *ending,
               char path[TRAY_PATH_SIZE]);

/** Make the folder if need be, and a new id. Returns: STATUS_OK; STATUS_FILE. */
MUST_USE enum status tray_new(const char *inventory_path, char id[TRAY_ID_SIZE],
                              struct error *error);

/**
 * Open a file of a new id, for a photo that comes in.
 *
 * Shape:   it ends in .part until tray_take.
 * Owns:    the caller closes `file`.
 * Returns: STATUS_OK; STATUS_FILE if there is no room for `bytes` more, or it can't be made.
 */
MUST_USE enum status tray_open(const char *inventory_path, long long bytes, char id[TRAY_ID_SIZE],
                               FILE **file, struct error *error);

/**
 * Take a photo in whose file is complete, and of which something is told.
 *
 * Units:   `changed_ms` when its file was last changed, milliseconds since 1970 as text.
 * Returns: STATUS_OK; STATUS_FILE.
 */
MUST_USE enum status tray_take(const char *inventory_path, const char *id, const char *changed_ms,
                               struct error *error);

/**
 * Write what is told of a photo.
 *
 * Shape:   what `anew` (NULL: nothing) tells stands for what `told` says under the same names;
 *          the fields "token", "revision", "do" and "pasted" are left out.
 * Returns: STATUS_OK; STATUS_FILE.
 */
MUST_USE enum status tray_write_told(const char *inventory_path, const char *id,
                                     const struct fields *anew, const struct fields *told,
                                     struct error *error);

/**
 * Read what is told of a photo.
 *
 * Owns:    the caller releases `told` with fields_release, also on failure.
 * Returns: STATUS_OK; STATUS_FILE if there is no such photo; STATUS_MEMORY.
 */
MUST_USE enum status tray_read_told(const char *inventory_path, const char *id, struct fields *told,
                                    struct error *error);

/**
 * List the photos.
 *
 * Owns:    the caller releases `list` with tray_list_release, also on failure.
 * Returns: STATUS_OK; STATUS_FILE; STATUS_MEMORY.
 */
MUST_USE enum status tray_read(const char *inventory_path, struct tray_list *list,
                               struct error *error);
void tray_list_release(struct tray_list *list);

/** Drop a photo and all that belongs to it; none of the id is none to drop. */
void tray_drop(const char *inventory_path, const char *id);

/** Drop what broken connections and crashes left half come in. */
void tray_tidy(const char *inventory_path);

#endif
