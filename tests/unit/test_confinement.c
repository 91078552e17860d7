/* What the process may no longer do once it confined itself: each question in a process of its own.
 */

#include "commands/confinement.h"

#include <errno.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <sys/socket.h>
#include <sys/wait.h>
#include <unistd.h>

#include <cmocka.h>

#define NOT_HELD 77 /* woad was built without libseccomp, or the kernel has no filters */

/* The exit status of a confined process that asks. */
static int confined(int (*ask)(void))
{
    pid_t child = fork();
    int status = 0;

    if (child == 0)
        _exit(confinement_begin() ? ask() : NOT_HELD);
    assert_true(child > 0);
    assert_int_equal(waitpid(child, &status, 0), child);
    assert_true(WIFEXITED(status));
    if (WEXITSTATUS(status) == NOT_HELD)
        skip();
    return WEXITSTATUS(status);
}

static int run_program(void)
{
    execl("/bin/true", "true", (char *)NULL);
    return errno;
}

static int run_program_of_a_child(void)
{
    pid_t child = fork();
    int status = 0;

    if (child == 0)
        _exit(run_program());
    return waitpid(child, &status, 0) == child && WIFEXITED(status) ? WEXITSTATUS(status) : -1;
}

static int open_connection(void)
{
    return socket(AF_INET, SOCK_STREAM, 0) < 0 ? errno : 0;
}

static int open_local_connection(void)
{
    return socket(AF_UNIX, SOCK_STREAM, 0) < 0 ? errno : 0;
}

static int write_file(void)
{
    FILE *file = tmpfile();
    bool written = file && fputs("a row", file) >= 0 && fclose(file) == 0;

    return written ? 0 : errno;
}

static void no_program_is_started(void **state)
{
    (void)state;
    assert_int_equal(confined(run_program), EPERM);
    assert_int_equal(confined(run_program_of_a_child), EPERM);
}

static void no_connection_is_opened(void **state)
{
    (void)state;
    assert_int_equal(confined(open_connection), EPERM);
    assert_int_equal(confined(open_local_connection), EPERM);
}

static void files_are_written_as_before(void **state)
{
    (void)state;
    assert_int_equal(confined(write_file), 0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(no_program_is_started),
        cmocka_unit_test(no_connection_is_opened),
        cmocka_unit_test(files_are_written_as_before),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
