#ifndef SCENE_TRUTH_H
#define SCENE_TRUTH_H

#include "stage.h"

/**
 * Write what is really in the photo.
 *
 * Shape:   header item,row,column,name,kind,x,y,L,a,b; see testimages/README.md.
 * Units:   photo pixels after EXIF orientation, (0.5, 0.5) the first pixel's
 *          centre; CIELAB D50.
 */
void truth_write(const char *path, const struct stage *stage);

/** The ink names as laid out on the sheet, one line per row, empty for blank cells. */
void names_write(const char *path, const struct sheet *sheet);

#endif
