#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include <math.h>

#include "questions/prices.h"

static void assert_price(const char *text, double expected)
{
    double price = -1;

    assert_true(prices_number(text, &price));
    assert_true(fabs(price - expected) < 1e-9);
}

static void assert_none(const char *text)
{
    double price;

    assert_false(prices_number(text, &price));
}

static void a_price_has_a_point_or_a_comma_for_its_decimals(void **state)
{
    (void)state;
    assert_price("4.50", 4.5);
    assert_price("4,50", 4.5);
    assert_price(" 4,5 ", 4.5);
    assert_price("4", 4);
    assert_price(",50", 0.5);
    assert_price("0,125", 0.125);
}

static void thousands_may_stand_apart(void **state)
{
    (void)state;
    assert_price("1.234,50", 1234.5);
    assert_price("1,234.50", 1234.5);
    assert_price("1 234,50", 1234.5);
    assert_price("1'234.50", 1234.5);
}

static void a_currency_may_stand_before_or_after_it(void **state)
{
    (void)state;
    assert_price("\u20ac 4,50", 4.5);
    assert_price("4,50 EUR", 4.5);
    assert_price("Fr. 4.-", 4);
}

static void what_may_mean_two_prices_is_none(void **state)
{
    (void)state;
    assert_none("1,250");
    assert_none("1.250");
    assert_none("cheap");
    assert_none("");
    assert_none("-4");
    assert_none("4 or 5");
    assert_none("2,000,000.50");
    assert_none("4,50 each one");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_price_has_a_point_or_a_comma_for_its_decimals),
        cmocka_unit_test(thousands_may_stand_apart),
        cmocka_unit_test(a_currency_may_stand_before_or_after_it),
        cmocka_unit_test(what_may_mean_two_prices_is_none),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
