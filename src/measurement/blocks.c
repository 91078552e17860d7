#include "blocks.h"

#include "base/memory.h"
#include "values/statistics.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define ALONG_LONG_SIDE 48 /* blocks */
#define PARTS 3            /* a block's parts along a side */
#define PART_RADIUS_PX 2
#define PART_STEP_PX 5
#define CARD_RIM 0.12 /* of the card's size, around its patches, that is barred */
#define DARK 0.004    /* linear light below which a block tells nothing */
#define BRIGHT 0.97

/* Bare paper is smooth, and goes on from block to block. */
#define PAPER_SPREAD 0.035
#define PAPER_STEP 0.05 /* of level, from one block to the next */
#define PAPER_TINT_STEP 0.04
#define PAPER_REACH 1.6 /* pitches from a sample of bare paper to a block that it vouches for */

/* The desk: near enough in tint to the commonest colour to be of one make. */
#define DESK_TINT 0.12
#define DESK_LEVEL 0.25 /* in which the commonest colour is looked for */
#define DESK_LEVEL_MAX 0.9
#define DESK_TINT_MAX 0.3
#define DESK_SPREAD 0.5
#define DESK_BLOCKS_MIN 12

/* --- sampling --- */

static int compare_levels(const void *a, const void *b)
{
    double x = ((const struct rgb *)a)->channel[1], y = ((const struct rgb *)b)->channel[1];

    return (x > y) - (x < y);
}

/* The middle parts of a block by green, averaged: marks and dust fall off at either end. */
static void summarise(struct rgb parts[PARTS * PARTS], struct block *block)
{
    const int first = 2, last = PARTS * PARTS - 3;
    struct rgb *mean = &block->sample.rgb_linear;

    qsort(parts, PARTS * PARTS, sizeof *parts, compare_levels);
    *mean = (struct rgb){{0, 0, 0}};
    for (int i = first; i <= last; i++)
        for (int k = 0; k < 3; k++)
            mean->channel[k] += parts[i].channel[k] / (last - first + 1);
    block->spread =
        (parts[last + 1].channel[1] - parts[first - 1].channel[1]) / fmax(mean->channel[1], 1e-6);
    for (int k = 0; k < 3; k++)
        block->sample.deviation_linear.channel[k] = 0.5 * block->spread * mean->channel[k];
    block->sample.pixels = block->sample.kept =
        PARTS * PARTS * (2 * PART_RADIUS_PX + 1) * (2 * PART_RADIUS_PX + 1);
}

static void take_logarithms(struct block *block)
{
    const double *rgb = block->sample.rgb_linear.channel;

    for (int k = 0; k < 3; k++)
        if (!(rgb[k] > DARK) || rgb[k] > BRIGHT) {
            block->kind = BLOCK_BARRED;
            return;
        }
    block->light = sampling_log_light(&block->sample.rgb_linear);
}

static void sample_block(const struct photo *photo, struct point at, struct block *block)
{
    struct rgb parts[PARTS * PARTS];
    const int step = PART_STEP_PX;

    block->sample.at = at;
    for (int i = 0; i < PARTS * PARTS; i++) {
        struct point part = {at.x + (i % PARTS - PARTS / 2) * step,
                             at.y + (i / PARTS - PARTS / 2) * step};

        if (!sampling_glance(photo, part, PART_RADIUS_PX, &parts[i])) {
            block->kind = BLOCK_BARRED;
            return;
        }
    }
    summarise(parts, block);
    take_logarithms(block);
}

static void bar_inside(const struct quad *quad, struct blocks *blocks)
{
    for (int i = 0; i < blocks->rows * blocks->columns; i++)
        if (quad_contains(quad, blocks->items[i].sample.at))
            blocks->items[i].kind = BLOCK_BARRED;
}

/* A cell with half a block around it, that no block reaches into. */
static struct quad cell_and_rim(const struct quad *cell)
{
    double side = sqrt(fabs(quad_area(cell)));
    double reach = PARTS * PART_STEP_PX / 2.0 + 2;

    return quad_inset(cell, -reach / fmax(side, 1));
}

enum status blocks_create(const struct photo *photo, const struct card_pose *card,
                          struct blocks *blocks, struct error *error)
{
    int width = photo->image.width_px, height = photo->image.height_px;
    double pitch = fmax((width > height ? width : height) / (double)ALONG_LONG_SIDE, 16);
    struct quad rim = quad_inset(&card->corners, -CARD_RIM);

    *blocks = (struct blocks){(int)(height / pitch), (int)(width / pitch), pitch, NULL, NULL, 0};
    blocks->items = memory_array((size_t)blocks->rows * (size_t)blocks->columns,
                                 sizeof *blocks->items, "the photo's blocks", error);
    blocks->joined = memory_array((size_t)blocks->rows * (size_t)blocks->columns,
                                  sizeof *blocks->joined, "the photo's blocks", error);
    if (!blocks->items || !blocks->joined)
        return error->status;
    for (int i = 0; i < blocks->rows * blocks->columns; i++) {
        struct point at = {(i % blocks->columns + 0.5) * pitch,
                           (i / blocks->columns + 0.5) * pitch};

        sample_block(photo, at, &blocks->items[i]);
    }
    bar_inside(&rim, blocks);
    return STATUS_OK;
}

void blocks_bar_cells(const struct chart_pose *chart, struct blocks *blocks)
{
    for (int i = 0; i < chart->rows * chart->columns; i++) {
        struct quad cell = cell_and_rim(&chart->outline[i]);

        bar_inside(&cell, blocks);
    }
}

void blocks_release(struct blocks *blocks)
{
    free(blocks->items);
    free(blocks->joined);
    memset(blocks, 0, sizeof *blocks);
}

/* --- paper --- */

static bool goes_on(const struct block *from, const struct block *to)
{
    return to->kind == BLOCK_UNKNOWN && to->spread < PAPER_SPREAD &&
           fabs(to->light.level - from->light.level) < PAPER_STEP &&
           sampling_same_tint(&to->light, &from->light, PAPER_TINT_STEP);
}

static void join(int i, struct blocks *blocks)
{
    blocks->items[i].kind = BLOCK_PAPER;
    blocks->joined[blocks->joined_count++] = i;
}

/* The blocks right at a sample of bare paper, where they are like it. */
static void plant(const struct area_sample *paper, struct blocks *blocks)
{
    struct block seed = {.sample = *paper};
    int reach = (int)ceil(PAPER_REACH);
    int row = (int)(paper->at.y / blocks->pitch_px), column = (int)(paper->at.x / blocks->pitch_px);

    take_logarithms(&seed);
    for (int y = row - reach; seed.kind != BLOCK_BARRED && y <= row + reach; y++)
        for (int x = column - reach; x <= column + reach; x++) {
            int i = y * blocks->columns + x;

            if (y < 0 || y >= blocks->rows || x < 0 || x >= blocks->columns)
                continue;
            if (point_distance(paper->at, blocks->items[i].sample.at) <
                    PAPER_REACH * blocks->pitch_px &&
                goes_on(&seed, &blocks->items[i]))
                join(i, blocks);
        }
}

static void grow_from(int i, struct blocks *blocks)
{
    static const int steps[4][2] = {{0, 1}, {1, 0}, {0, -1}, {-1, 0}};

    for (int s = 0; s < 4; s++) {
        int row = i / blocks->columns + steps[s][0], column = i % blocks->columns + steps[s][1];
        int next = row * blocks->columns + column;

        if (row >= 0 && row < blocks->rows && column >= 0 && column < blocks->columns &&
            goes_on(&blocks->items[i], &blocks->items[next]))
            join(next, blocks);
    }
}

void blocks_mark_paper(struct blocks *blocks, const struct area_sample *paper, size_t count)
{
    for (size_t i = 0; i < count; i++)
        plant(&paper[i], blocks);
    for (int next = 0; next < blocks->joined_count; next++)
        grow_from(blocks->joined[next], blocks);
}

/* --- desk --- */

static bool may_be_desk(const struct block *block)
{
    return block->kind == BLOCK_UNKNOWN && block->spread < DESK_SPREAD;
}

/* The block with the most others of its colour. */
static const struct block *commonest(const struct blocks *blocks)
{
    const struct block *best = NULL;
    int count = blocks->rows * blocks->columns, most = DESK_BLOCKS_MIN;

    for (int i = 0; i < count; i++) {
        const struct block *here = &blocks->items[i];
        int alike = 0;

        for (int j = 0; may_be_desk(here) && j < count; j++) {
            const struct block *there = &blocks->items[j];

            alike += may_be_desk(there) &&
                     fabs(there->light.level - here->light.level) < DESK_LEVEL &&
                     sampling_same_tint(&there->light, &here->light, DESK_TINT);
        }
        if (alike > most) {
            most = alike;
            best = here;
        }
    }
    return best;
}

void blocks_mark_desk(struct blocks *blocks)
{
    const struct block *desk = commonest(blocks);

    for (int i = 0; desk && i < blocks->rows * blocks->columns; i++) {
        struct block *block = &blocks->items[i];

        if (may_be_desk(block) && fabs(block->light.level - desk->light.level) < DESK_LEVEL_MAX &&
            sampling_same_tint(&block->light, &desk->light, DESK_TINT_MAX))
            block->kind = BLOCK_DESK;
    }
}

size_t blocks_take(const struct blocks *blocks, enum block_kind kind, struct area_sample *samples)
{
    size_t count = 0;

    for (int i = 0; i < blocks->rows * blocks->columns; i++)
        if (blocks->items[i].kind == kind)
            samples[count++] = blocks->items[i].sample;
    return count;
}
