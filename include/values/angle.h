#ifndef WOAD_VALUES_ANGLE_H
#define WOAD_VALUES_ANGLE_H

/* Angles in radians, but where a name says degrees. */
#define ANGLE_PI 3.14159265358979323846
#define ANGLE_FULL_TURN (2 * ANGLE_PI)
#define ANGLE_DEGREES (180 / ANGLE_PI) /* in a radian */

#endif
