#ifndef WOAD_OUTPUT_DRYING_WORDS_H
#define WOAD_OUTPUT_DRYING_WORDS_H

/* What the fits of 'woad drying' say, in words. */

#include "questions/dried.h"

#include <stdio.h>

/** Where a swatch stands: "B3 of spring", with its batch if one was told. */
#define DRYING_PLACE_SIZE 512
void drying_place(const struct drying_swatch *swatch, char text[DRYING_PLACE_SIZE]);

/** What the fit of a swatch says: "settled after about 40 min (95 %: 30 min to 55 min); ...". */
#define DRYING_SENTENCE_SIZE 320
void drying_sentence(const struct drying_swatch *swatch, char text[DRYING_SENTENCE_SIZE]);

/** One or two words for it: "settled", "perhaps settled", "wet", ... */
const char *drying_state_words(enum drying_state state);

/** When it is dry, or how it fades, short enough for a table; empty where the fit tells neither. */
#define DRYING_BRIEF_SIZE 96
void drying_brief(const struct drying_swatch *swatch, char text[DRYING_BRIEF_SIZE]);

/** From when its readings surely count as dry, on the clock of its first photo; empty: not known.
 */
#define DRYING_INSTANT_SIZE 40
#define DRYING_INSTANT_SHOWN 16 /* of "2026-05-03 10:20:00 +02:00" for people: to the minute */
void drying_sure_from(const struct drying_swatch *swatch, char text[DRYING_INSTANT_SIZE]);

/** Say of many swatches how many settled, and from when on all of them can be measured. */
void drying_note_all(const struct drying_set *set, FILE *out);

#endif
