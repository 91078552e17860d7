#ifndef WOAD_MEASUREMENT_BLOCKS_H
#define WOAD_MEASUREMENT_BLOCKS_H

#include "base/error.h"
#include "files/photo.h"
#include "location/pose.h"
#include "vision/sampling.h"

#include <stdbool.h>
#include <stddef.h>

/*
 * Quick samples on an even grid over the whole photo, and what lies there:
 * bare paper of the chart's sheet, or the desk around card and sheet. Both show
 * how the light falls between the card and the cells.
 */
enum block_kind { BLOCK_UNKNOWN, BLOCK_BARRED, BLOCK_PAPER, BLOCK_DESK };

struct block {
    struct area_sample sample;
    struct log_light light;
    double spread; /* relative, of the block's parts */
    enum block_kind kind;
};

struct blocks {
    int rows;
    int columns;
    double pitch_px;
    struct block *items; /* row by row */
    int *joined;         /* the paper's blocks, in the order they joined */
    int joined_count;
};

/**
 * Sample the photo; what lies on the card is barred.
 *
 * Owns:    the caller releases `blocks` with blocks_release.
 * Returns: STATUS_OK; STATUS_MEMORY.
 */
MUST_USE enum status blocks_create(const struct photo *photo, const struct card_pose *card,
                                   struct blocks *blocks, struct error *error);
void blocks_release(struct blocks *blocks);

/** Bar what lies on a chart's cells, before anything is marked. */
void blocks_bar_cells(const struct chart_pose *chart, struct blocks *blocks);

/** Grow the paper out over all blocks that go on evenly from samples of bare paper. */
void blocks_mark_paper(struct blocks *blocks, const struct area_sample *paper, size_t count);

/** Mark the commonest colour of what is left as the desk. */
void blocks_mark_desk(struct blocks *blocks);

/**
 * Copy out the samples of one kind.
 *
 * Shape:   `samples` has room for rows * columns.
 * Returns: their number.
 */
size_t blocks_take(const struct blocks *blocks, enum block_kind kind, struct area_sample *samples);

#endif
