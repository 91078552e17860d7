/*
 * Prints the program's own colour values, for comparison with other libraries' in outside.py.
 * In, a line each: two colours as X Y Z X Y Z, D50, Y = 1 for white.
 * Out, a line each: L a b of both, their delta E 2000, and the first as sRGB, 0 to 1.
 */

#include "values/colour.h"

#include <stdio.h>

int main(void)
{
    struct xyz first, second;

    while (scanf("%lf %lf %lf %lf %lf %lf", &first.X, &first.Y, &first.Z, &second.X, &second.Y,
                 &second.Z) == 6) {
        struct lab a = colour_lab_from_xyz(first), b = colour_lab_from_xyz(second);
        struct rgb srgb;

        colour_srgb_from_lab(&a, 1, &srgb);
        printf("%.9f %.9f %.9f %.9f %.9f %.9f %.9f %.9f %.9f %.9f\n", a.L, a.a, a.b, b.L, b.a, b.b,
               colour_delta_e_2000(a, b), srgb.channel[0], srgb.channel[1], srgb.channel[2]);
    }
    return 0;
}
