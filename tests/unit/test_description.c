#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "analysis/description.h"

#include <lcms2.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/*
 * Source of the expectation: the centroids of Kelly and Judd, "Color: Universal Language and
 * Dictionary of Names", National Bureau of Standards 1976, as Debian's libcolor-library-perl
 * carries them in sRGB. The bounds were set in view of these centroids, so that the agreement
 * shows that the tables follow the system, not how they would do on other colours.
 */
#define CENTROIDS                                                                                  \
    "perl -MColor::Library -e 'printf \"%s\\t%s\\n\", lc $_->title, $_->html for "                 \
    "Color::Library->dictionary(\"nbs-iscc\")->colors'"

static struct lab lab_from_srgb(unsigned rgb)
{
    const unsigned char srgb[3] = {(unsigned char)(rgb >> 16), (unsigned char)(rgb >> 8),
                                   (unsigned char)rgb};
    cmsHPROFILE from = cmsCreate_sRGBProfile(), to = cmsCreateLab4Profile(NULL);
    cmsHTRANSFORM transform = cmsCreateTransform(from, TYPE_RGB_8, to, TYPE_Lab_DBL,
                                                 INTENT_RELATIVE_COLORIMETRIC, cmsFLAGS_NOCACHE);
    cmsCIELab lab;

    cmsDoTransform(transform, srgb, &lab, 1);
    cmsDeleteTransform(transform);
    cmsCloseProfile(from);
    cmsCloseProfile(to);
    return (struct lab){lab.L, lab.a, lab.b};
}

/* The hue of a published name: what stands behind its modifier. */
static const char *hue_of_name(const char *name)
{
    static const char *const modifiers[] = {
        "very light ", "very pale ", "very deep ", "very dark ", "light grayish ", "dark grayish ",
        "vivid ",      "brilliant ", "strong ",    "moderate ",  "deep ",          "light ",
        "dark ",       "pale ",      "grayish ",   "blackish ",  "medium "};

    for (size_t i = 0; i < sizeof modifiers / sizeof *modifiers; i++)
        if (strncmp(name, modifiers[i], strlen(modifiers[i])) == 0)
            return name + strlen(modifiers[i]);
    return name;
}

static void spell_grey(char *name)
{
    for (char *at = strstr(name, "gray"); at; at = strstr(at, "gray"))
        at[2] = 'e';
}

static void published_centroids_get_the_names_they_stand_for(void **state)
{
    FILE *centroids = popen(CENTROIDS, "r");
    char name[80], ours[DESCRIPTION_SIZE];
    unsigned rgb;
    int count = 0, hues = 0, names = 0;

    (void)state;
    assert_non_null(centroids);
    while (fscanf(centroids, "%79[^\t]\t#%x\n", name, &rgb) == 2) {
        struct lab lab = lab_from_srgb(rgb);
        char hue[80];

        snprintf(hue, sizeof hue, "%s", hue_of_name(name));
        spell_grey(hue);
        spell_grey(name);
        description_words(lab, ours);
        count++;
        hues += strcmp(hue, description_of(lab).hue) == 0;
        names += strcmp(strcmp(name, "medium grey") == 0 ? "grey" : name, ours) == 0;
        if (strcmp(hue, description_of(lab).hue) != 0)
            printf("  %s: here %s\n", name, ours);
    }
    pclose(centroids);
    printf("  of %d centroids %d (%.1f %%) agree in hue name, %d (%.1f %%) in hue and modifier\n",
           count, hues, 100.0 * hues / count, names, 100.0 * names / count);
    assert_true(count == 267);
    assert_true(hues >= 0.9 * count);
}

static void every_colour_has_a_name(void **state)
{
    (void)state;
    srand(6);
    for (int i = 0; i < 200000; i++) {
        struct lab lab = {rand() % 1001 / 10.0, rand() % 2401 / 10.0 - 120,
                          rand() % 2401 / 10.0 - 120};

        /* an uncoloured grey is what the tables' holes would give */
        if (colour_chroma(lab) > 20)
            assert_string_not_equal(description_of(lab).hue, "grey");
    }
}

static void paper_ink_and_soot_are_described_as_a_person_would(void **state)
{
    static const struct {
        struct lab lab;
        const char *words;
        enum colour_family family;
    } cases[] = {
        {{96, 0, 1}, "white", FAMILY_NEUTRALS},
        {{14, 0, 0}, "black", FAMILY_NEUTRALS},
        {{45, 62, 32}, "vivid red", FAMILY_REDS},
        {{35, 12, 20}, "moderate brown", FAMILY_BROWNS},
        {{80, 5, 80}, "vivid yellow", FAMILY_YELLOWS},
        {{45, -26, 6}, "moderate green", FAMILY_GREENS},
    };
    char words[DESCRIPTION_SIZE];

    (void)state;
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        description_words(cases[i].lab, words);
        assert_string_equal(words, cases[i].words);
        assert_int_equal(description_of(cases[i].lab).family, cases[i].family);
    }
}

static struct range_ink ink_at(double L, double chroma, double degrees, double variance)
{
    struct range_ink ink = {.lab = {L, chroma * cos(degrees / 57.29577951308232),
                                    chroma * sin(degrees / 57.29577951308232)}};

    for (int i = 0; i < 3; i++)
        ink.covariance_own[4 * i] = variance;
    return ink;
}

static void an_undertone_names_the_hue_of_a_greyed_colour(void **state)
{
    (void)state;
    assert_string_equal(description_undertone(ink_at(40, 4, 250, 0).lab), "blue");
    assert_string_equal(description_undertone(ink_at(40, 4, 359.9, 0).lab), "purplish red");
    assert_null(description_undertone(ink_at(40, 1, 250, 0).lab));
}

static void the_turn_of_a_thinning_ink_is_told_only_where_it_can_be(void **state)
{
    struct range_ink full = ink_at(40, 40, 300, 0.01), grey = ink_at(70, 1, 20, 0.01);
    struct range_ink bluer = ink_at(70, 20, 280, 0.01), redder = ink_at(70, 20, 330, 0.01);
    struct range_ink same = ink_at(70, 20, 302, 0.01), unsure = ink_at(70, 20, 310, 40);
    struct range_ink red = ink_at(40, 40, 5, 0.01), past_red = ink_at(70, 20, 350, 0.01);
    struct range_ink blue = ink_at(40, 40, 258, 0.01), past_blue = ink_at(70, 20, 225, 0.01);
    double degrees;

    (void)state;
    assert_string_equal(description_as_it_thins(&full, &bluer, &degrees), "bluer");
    assert_float_equal(degrees, -20, 1e-6);
    assert_string_equal(description_as_it_thins(&full, &redder, NULL), "redder");
    assert_string_equal(description_as_it_thins(&full, &same, NULL), "no other hue");
    assert_string_equal(description_as_it_thins(&full, &unsure, NULL),
                        "perhaps another hue, by less than can be told");
    assert_string_equal(description_as_it_thins(&full, &grey, NULL), "too grey to tell");
    assert_string_equal(description_as_it_thins(&red, &past_red, &degrees), "bluer");
    assert_float_equal(degrees, -15, 1e-6);
    assert_string_equal(description_as_it_thins(&blue, &past_blue, NULL), "greener");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(published_centroids_get_the_names_they_stand_for),
        cmocka_unit_test(every_colour_has_a_name),
        cmocka_unit_test(paper_ink_and_soot_are_described_as_a_person_would),
        cmocka_unit_test(an_undertone_names_the_hue_of_a_greyed_colour),
        cmocka_unit_test(the_turn_of_a_thinning_ink_is_told_only_where_it_can_be),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
