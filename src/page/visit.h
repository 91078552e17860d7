#ifndef WOAD_PAGE_VISIT_H
#define WOAD_PAGE_VISIT_H

/* Private to src/page: a request on its way to its response. */

#include "base/text.h"
#include "fields.h"
#include "inventory/revision.h"
#include "look.h"
#include "output/views.h"
#include "page/page.h"
#include "phone.h"
#include "queue.h"
#include "secret.h"

#include <stdio.h>

struct page {
    struct page_settings settings;
    char inventory_path[INVENTORY_PATH_SIZE];
    char opening[SECRET_SIZE]; /* in the address that is opened */
    char cookie[SECRET_SIZE];
    char form[SECRET_SIZE]; /* with what changes anything */
    struct look *look;
    struct phone *phone;
    struct queue *measuring; /* one photo at a time: each takes some 100 MB */
};

struct visit {
    struct page *page;
    const struct page_request *request;
    struct page_response *response;
    struct fields query; /* of the address */
    struct fields form;  /* of the body */
    FILE *out;           /* the response's body */
    struct view_frame frame;
    char revision[INVENTORY_REVISION_SIZE];
    char *undo;
    struct text command; /* the command line that does the same */
};

/**
 * Write a view's head; its frame has been filled but for what is the same for all.
 *
 * Returns: STATUS_OK; as inventory_open and what reads its state.
 */
MUST_USE enum status visit_begin(struct visit *visit, const char *title, struct error *error);

void visit_end(struct visit *visit);

/**
 * Open the inventory to change it, if it is still in the state that the form was shown in.
 *
 * Owns:    the caller closes it with inventory_close.
 * Returns: STATUS_OK; STATUS_INVENTORY.
 */
MUST_USE enum status visit_open_to_change(const struct visit *visit, struct inventory **inventory,
                                          struct error *error);

/** Send a file's bytes. Returns: STATUS_OK; STATUS_FILE if it can't be read. */
MUST_USE enum status visit_send_file(struct visit *visit, const char *path, const char *type,
                                     struct error *error);

/** Tell the command line that does the same: a word at a time, quoted where a shell needs it. */
void visit_command(struct visit *visit, const char *word);

/** Send the browser to another view. */
void visit_go(struct visit *visit, const char *format, ...) PRINTF_LIKE(2, 3);

/** Check the right to ask at all, Host and cookie; the opening address gets its cookie here. False:
 * the response is filled. */
bool visit_is_ours(const struct page *page, const struct page_request *request,
                   struct page_response *response);

/** Check the right to change anything: the token, in the header or the form. False: the response is
 * filled. */
bool visit_may_change(const struct page *page, const struct page_request *request,
                      const struct fields *form, struct page_response *response);

/** Whether the cookie of that name holds the secret. */
bool visit_has_cookie(const struct page_request *request, const char *name,
                      const char secret[SECRET_SIZE]);

/**
 * Check the right to ask by the door for a phone: it stands open, the way to it is known, and no
 * other browser has taken that way.
 *
 * Returns: what of the target lies behind that way; NULL, and then the response is filled.
 */
const char *visit_by_phone(const struct page *page, const struct page_request *request,
                           struct page_response *response);

/** Seconds since 1970. */
long long visit_now_s(const struct page *page);

/** Fill a response with a line of text. */
void visit_refuse(struct page_response *response, int status, const char *message);

/* The answers, by their views. */
typedef enum status visit_answer(struct visit *visit, struct error *error);
visit_answer visit_wall, visit_order, visit_ink, visit_revision, visit_mend_ink;
visit_answer visit_buy, visit_blends, visit_log, visit_batches, visit_maps, visit_sheets,
    visit_sheet, visit_sheet_picture;
visit_answer visit_history, visit_undo, visit_mend_photo, visit_backup;
visit_answer visit_photos, visit_clear, visit_take, visit_photo, visit_tell, visit_picture;
visit_answer visit_phone, visit_move_phone, visit_came, visit_sending;

#endif
