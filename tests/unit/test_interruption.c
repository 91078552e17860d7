#include "commands/interruption.h"

#include <setjmp.h>
#include <signal.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <sys/wait.h>
#include <unistd.h>

#include <cmocka.h>

/* How a process of its own ends that runs `act`. */
static int ending_of(int (*act)(void))
{
    int ending = 0;
    pid_t process = fork();

    if (process == 0)
        _exit(act());
    assert_true(process > 0);
    assert_int_equal(waitpid(process, &ending, 0), process);
    return ending;
}

static int hold_and_be_told(void)
{
    interruption_hold();
    raise(SIGHUP);
    return interruption_wait();
}

static int hold_what_is_ignored(void)
{
    signal(SIGHUP, SIG_IGN);
    return hold_and_be_told();
}

static int obey_a_hang_up(void)
{
    interruption_hold();
    return interruption_obey(SIGHUP);
}

static int obey_what_does_nothing(void)
{
    signal(SIGHUP, SIG_IGN);
    return obey_a_hang_up();
}

static void a_held_hang_up_is_told(void **state)
{
    int ending = ending_of(hold_and_be_told);

    (void)state;
    assert_true(WIFEXITED(ending));
    assert_int_equal(WEXITSTATUS(ending), SIGHUP);
}

/* nohup starts a program so, and the shell one with & behind it. */
static void a_hang_up_that_was_ignored_from_the_start_stays_so(void **state)
{
    int ending = ending_of(hold_what_is_ignored);

    (void)state;
    assert_true(WIFEXITED(ending));
    assert_int_equal(WEXITSTATUS(ending), 0);
}

static void obeying_ends_the_process_by_the_signal(void **state)
{
    int ending = ending_of(obey_a_hang_up);

    (void)state;
    assert_true(WIFSIGNALED(ending));
    assert_int_equal(WTERMSIG(ending), SIGHUP);
}

/* The first process of a container, say, does not die of a signal. */
static void where_the_signal_does_nothing_the_status_tells_of_it(void **state)
{
    int ending = ending_of(obey_what_does_nothing);

    (void)state;
    assert_true(WIFEXITED(ending));
    assert_int_equal(WEXITSTATUS(ending), 128 + SIGHUP);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_held_hang_up_is_told),
        cmocka_unit_test(a_hang_up_that_was_ignored_from_the_start_stays_so),
        cmocka_unit_test(obeying_ends_the_process_by_the_signal),
        cmocka_unit_test(where_the_signal_does_nothing_the_status_tells_of_it),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
