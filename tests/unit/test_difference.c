#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "analysis/difference.h"

#include <math.h>

static void check_words(struct lab from, struct lab to, const char *wanted)
{
    struct difference difference = difference_between(from, to);
    char words[DIFFERENCE_WORDS_SIZE];

    difference_words(&difference, DIFFERENCE_NOTICEABLE, words);
    assert_string_equal(words, wanted);
}

/* A colour by lightness, chroma and hue in degrees. */
static struct lab colour(double lightness, double chroma, double degrees)
{
    double hue = degrees * 3.14159265358979323846 / 180;

    return (struct lab){lightness, chroma * cos(hue), chroma * sin(hue)};
}

static void the_three_parts_make_the_whole(void **state)
{
    struct lab from = {52, 31, -12}, to = {57, 22, -19};
    struct difference difference = difference_between(from, to);
    double squares = difference.dL * difference.dL + difference.dC * difference.dC +
                     difference.dH * difference.dH;

    (void)state;
    assert_true(fabs(squares - (25 + 81 + 49)) < 1e-9);
    assert_true(difference.dH < 0);
    assert_true(difference_between(to, from).dH > 0);
}

static void drying_reads_as_one_would_say_it(void **state)
{
    (void)state;
    check_words(colour(45, 50, 20), colour(49, 42, 20), "lighter, duller, same hue");
    check_words(colour(49, 42, 20), colour(45, 50, 20), "darker, brighter, same hue");
    check_words(colour(45, 50, 20), colour(45.1, 50, 20), "alike");
}

static void hues_move_towards_their_neighbours(void **state)
{
    static const struct {
        double from, to;
        const char *words;
    } moves[] = {{40, 50, "yellower"},   {50, 40, "redder"},  {120, 130, "greener"},
                 {130, 120, "yellower"}, {200, 212, "bluer"}, {212, 200, "greener"},
                 {300, 312, "redder"},   {312, 300, "bluer"}, {2, 14, "redder"},
                 {355, 10, "redder"},    {10, 355, "bluer"}};

    (void)state;
    for (size_t i = 0; i < sizeof moves / sizeof *moves; i++)
        check_words(colour(60, 40, moves[i].from), colour(60, 40, moves[i].to), moves[i].words);
}

static void a_grey_moves_towards_a_hue_and_has_none(void **state)
{
    (void)state;
    check_words((struct lab){50, 0, 0}, (struct lab){50, 3, 0.5}, "redder");
    check_words((struct lab){50, 0, 0}, (struct lab){46, -0.3, -3}, "darker, bluer");
    check_words((struct lab){50, 0, 0}, (struct lab){46, 0, 0}, "darker");
    check_words((struct lab){50, 0, 0}, (struct lab){50, 0, 0}, "alike");
}

static void one_word_says_the_whole(void **state)
{
    struct difference deeper = difference_between(colour(50, 30, 80), colour(44, 40, 80));
    struct difference paler = difference_between(colour(50, 30, 80), colour(56, 20, 80));
    struct difference level = difference_between(colour(50, 30, 80), colour(50, 40, 80));
    struct difference warmer = difference_between((struct lab){50, 0, 0}, (struct lab){50, 4, 5});
    struct difference cooler = difference_between((struct lab){50, 4, 5}, (struct lab){50, 0, 0});

    (void)state;
    assert_string_equal(difference_character(&deeper, 0.5), "deeper");
    assert_string_equal(difference_character(&paler, 0.5), "paler");
    assert_string_equal(difference_character(&level, 0.5), "");
    assert_string_equal(difference_warmth(&warmer, 0.5), "warmer");
    assert_string_equal(difference_warmth(&cooler, 0.5), "cooler");
    assert_string_equal(difference_warmth(&warmer, 50), "");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_three_parts_make_the_whole),
        cmocka_unit_test(drying_reads_as_one_would_say_it),
        cmocka_unit_test(hues_move_towards_their_neighbours),
        cmocka_unit_test(a_grey_moves_towards_a_hue_and_has_none),
        cmocka_unit_test(one_word_says_the_whole),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
