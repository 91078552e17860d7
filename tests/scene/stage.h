#ifndef SCENE_STAGE_H
#define SCENE_STAGE_H

#include "card.h"
#include "desk.h"
#include "light.h"
#include "plan.h"
#include "raster.h"
#include "sheet.h"

/*
 * The whole scene, built from a plan and ready to be looked at.
 */

enum { CARDS_MAX = 2, SHEETS_MAX = 2 };

struct stage {
    struct plan plan;
    struct observer observer;
    struct view view;
    struct light light;
    struct desk_top desk;
    struct sheet sheet[SHEETS_MAX];
    int sheets, cards, props;
    struct card card[CARDS_MAX];
    struct prop prop[PROPS_MAX];
    struct response mirror; /* a perfect mirror of each source */
};

void stage_build(struct stage *stage, const struct plan *plan);
void stage_release(struct stage *stage);

/** What the sensor receives, white balanced, before noise: a raster of 3 planes. */
void stage_look(const struct stage *stage, struct raster *raw);

#endif
