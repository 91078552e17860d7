/*
 * Preloaded into the program, this sets its clock back by SET_BACK_S seconds, as a battery that ran
 * out or a hand at the settings does. What measures durations goes on undisturbed.
 */
#include <stddef.h>
#include <stdlib.h>
#include <sys/syscall.h>
#include <time.h>
#include <unistd.h>

static long set_back_s(void)
{
    const char *seconds = getenv("SET_BACK_S");

    return seconds ? strtol(seconds, NULL, 10) : 0;
}

int clock_gettime(clockid_t clock, struct timespec *now)
{
    int result = (int)syscall(SYS_clock_gettime, clock, now);

    if (result == 0 && clock == CLOCK_REALTIME)
        now->tv_sec -= set_back_s();
    return result;
}

time_t time(time_t *now)
{
    struct timespec here;

    clock_gettime(CLOCK_REALTIME, &here);
    if (now)
        *now = here.tv_sec;
    return here.tv_sec;
}
