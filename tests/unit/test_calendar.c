#include "values/calendar.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

#include <cmocka.h>

static int set_zone(void **state)
{
    (void)state;
    setenv("TZ", "CET-1CEST,M3.5.0,M10.5.0/3", 1);
    tzset();
    return 0;
}

static void times_are_written_as_they_are_read(void **state)
{
    static const char *const texts[] = {"2026-05-03 10:20:00 +02:00", "2024-02-29 23:59:59 -05:30",
                                        "1999-12-31 00:00:01 +00:00"};
    struct photo_time time;
    struct error error;
    char text[CALENDAR_TEXT_SIZE];

    (void)state;
    for (size_t i = 0; i < sizeof texts / sizeof *texts; i++) {
        assert_int_equal(calendar_parse(texts[i], &time, &error), STATUS_OK);
        assert_true(time.offset_known);
        calendar_format(&time, text);
        assert_string_equal(text, texts[i]);
    }
}

static void a_time_without_offset_is_of_this_machine(void **state)
{
    struct photo_time summer, winter;
    struct error error;

    (void)state;
    assert_int_equal(calendar_parse("2026-05-03 10:20", &summer, &error), STATUS_OK);
    assert_int_equal(calendar_parse("2026-01-03 10:20", &winter, &error), STATUS_OK);
    assert_false(summer.offset_known);
    assert_int_equal(summer.offset_minutes, 120);
    assert_int_equal(winter.offset_minutes, 60);
}

static void what_is_no_time_is_refused(void **state)
{
    static const char *const texts[] = {"",
                                        "now",
                                        "2026-05-03",
                                        "2026-13-03 10:20",
                                        "2026-02-29 10:20",
                                        "2026-05-03 24:00",
                                        "2026-05-03 10:20 CET",
                                        "2026-05-03 10:20+",
                                        "2026-05-03 10:20 +15:00",
                                        "2026-05-03 10:20:",
                                        "26-05-03 10:20",
                                        "1900-02-29 10:20", /* 1900 was no leap year */
                                        "2026-04-31 10:20",
                                        "2026-05-03 10:20 +02:00 x"};
    struct photo_time time;
    struct error error;

    (void)state;
    for (size_t i = 0; i < sizeof texts / sizeof *texts; i++)
        if (calendar_parse(texts[i], &time, &error) != STATUS_USAGE)
            fail_msg("'%s' was taken as a time", texts[i]);
}

/* Source of the seconds: `date -u -d '2024-02-29 12:00' +%s`. */
static void the_29th_of_february_is_a_day_of_leap_years_only(void **state)
{
    struct photo_time leap = calendar_of_exif("2024:02:29 12:00:00", "+00:00");

    (void)state;
    assert_int_equal(leap.source, PHOTO_TIME_EXIF);
    assert_int_equal(leap.utc_seconds, 1709208000);
    assert_int_equal(calendar_of_exif("2000:02:29 12:00:00", "").source, PHOTO_TIME_EXIF);
    assert_int_equal(calendar_of_exif("2026:02:29 12:00:00", "").source, PHOTO_TIME_NONE);
    assert_int_equal(calendar_of_exif("2026:06:31 12:00:00", "").source, PHOTO_TIME_NONE);
}

static void a_leap_second_is_the_next_minutes_first(void **state)
{
    struct photo_time leap = calendar_of_exif("2016:12:31 23:59:60", "+00:00");
    struct photo_time next = calendar_of_exif("2017:01:01 00:00:00", "+00:00");

    (void)state;
    assert_int_equal(leap.source, PHOTO_TIME_EXIF);
    assert_int_equal(leap.utc_seconds, next.utc_seconds);
}

static void a_cameras_time_needs_all_its_parts(void **state)
{
    static const char *const texts[] = {"",
                                        "2026:03:14",
                                        "2026:03:14 15:09",
                                        "2026-03-14 15:09:26",
                                        "1904:01:01 00:00:00",
                                        "2026:03:14 25:09:26"};

    (void)state;
    for (size_t i = 0; i < sizeof texts / sizeof *texts; i++)
        if (calendar_of_exif(texts[i], "+01:00").source != PHOTO_TIME_NONE)
            fail_msg("'%s' was taken as a time", texts[i]);
}

static void an_offset_that_is_none_is_as_missing(void **state)
{
    struct photo_time time = calendar_of_exif("2026:07:14 15:09:26", "   :  ");

    (void)state;
    assert_int_equal(time.source, PHOTO_TIME_EXIF);
    assert_false(time.offset_known);
    assert_int_equal(time.offset_minutes, 120); /* summer, here */
}

static void a_time_yet_to_come_is_refused(void **state)
{
    struct photo_time now = calendar_now(), time;
    struct error error;

    (void)state;
    assert_false(calendar_is_to_come(&now));
    now.utc_seconds += 3600; /* a clock fast by an hour */
    assert_false(calendar_is_to_come(&now));
    assert_int_equal(calendar_parse("9999-01-01 00:00", &time, &error), STATUS_USAGE);
    assert_non_null(strstr(error.message, "yet to come"));
    time = calendar_of_file(15000000000); /* the year 2445 */
    assert_true(calendar_is_to_come(&time));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(times_are_written_as_they_are_read),
        cmocka_unit_test(a_time_without_offset_is_of_this_machine),
        cmocka_unit_test(what_is_no_time_is_refused),
        cmocka_unit_test(the_29th_of_february_is_a_day_of_leap_years_only),
        cmocka_unit_test(a_leap_second_is_the_next_minutes_first),
        cmocka_unit_test(a_cameras_time_needs_all_its_parts),
        cmocka_unit_test(an_offset_that_is_none_is_as_missing),
        cmocka_unit_test(a_time_yet_to_come_is_refused),
    };

    return cmocka_run_group_tests(tests, set_zone, NULL);
}
