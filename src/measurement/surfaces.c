#include "surfaces.h"

#include "base/memory.h"
#include "blocks.h"

#include <stdlib.h>
#include <string.h>

/* Put samples behind others. */
static enum status join(const struct area_sample *more, size_t more_count,
                        struct area_sample **samples, size_t *count, struct error *error)
{
    struct area_sample *all;

    if (!more_count)
        return STATUS_OK;
    all = memory_array(*count + more_count, sizeof *all, "paper samples", error);
    if (!all)
        return error->status;
    if (*count)
        memcpy(all, *samples, *count * sizeof *all);
    memcpy(all + *count, more, more_count * sizeof *all);
    free(*samples);
    *samples = all;
    *count += more_count;
    return STATUS_OK;
}

/* Take the paper of the blocks along with that of the gaps. */
static enum status add_paper(const struct blocks *blocks, struct paper *paper, struct error *error)
{
    size_t room = (size_t)blocks->rows * (size_t)blocks->columns + paper->count;
    struct area_sample *all = memory_array(room, sizeof *all, "paper samples", error);

    if (!all)
        return error->status;
    if (paper->count)
        memcpy(all, paper->samples, paper->count * sizeof *all);
    free(paper->samples);
    paper->samples = all;
    paper->count += blocks_take(blocks, BLOCK_PAPER, all + paper->count);
    return STATUS_OK;
}

static enum status take_desk(const struct blocks *blocks, struct surfaces *surfaces,
                             struct error *error)
{
    size_t room = (size_t)blocks->rows * (size_t)blocks->columns;

    surfaces->desk = memory_array(room, sizeof *surfaces->desk, "desk samples", error);
    if (!surfaces->desk)
        return error->status;
    surfaces->desk_count = blocks_take(blocks, BLOCK_DESK, surfaces->desk);
    return STATUS_OK;
}

/* The paper in the gaps of one more chart. */
static enum status add_gaps(const struct photo *photo, const struct chart_pose *chart,
                            struct paper *paper, struct error *error)
{
    struct paper more = {0};
    enum status status = paper_find(photo, chart, &more, error);

    if (!status)
        status = join(more.samples, more.count, &paper->samples, &paper->count, error);
    if (!status)
        status = join(more.lit, more.lit_count, &paper->lit, &paper->lit_count, error);
    paper_release(&more);
    return status;
}

enum status surfaces_find(const struct photo *photo, const struct card_pose *card,
                          const struct chart_poses *charts, struct surfaces *surfaces,
                          struct error *error)
{
    struct blocks blocks = {0};
    enum status status = blocks_create(photo, card, &blocks, error);

    for (int i = 0; !status && i < charts->count; i++) {
        blocks_bar_cells(&charts->items[i], &blocks);
        status = add_gaps(photo, &charts->items[i], &surfaces->paper, error);
    }
    if (!status) {
        blocks_mark_paper(&blocks, surfaces->paper.samples, surfaces->paper.count);
        blocks_mark_desk(&blocks);
        status = add_paper(&blocks, &surfaces->paper, error);
    }
    if (!status)
        status = take_desk(&blocks, surfaces, error);
    blocks_release(&blocks);
    return status;
}

void surfaces_release(struct surfaces *surfaces)
{
    paper_release(&surfaces->paper);
    free(surfaces->desk);
    memset(surfaces, 0, sizeof *surfaces);
}
