#include "interruption.h"

#include <signal.h>
#include <stddef.h>
#include <time.h>

static sigset_t held_signals(void)
{
    sigset_t set;

    sigemptyset(&set);
    sigaddset(&set, SIGINT);
    sigaddset(&set, SIGTERM);
    sigaddset(&set, SIGHUP);
    sigaddset(&set, SIGCHLD);
    return set;
}

void interruption_hold(void)
{
    const sigset_t set = held_signals();

    signal(SIGCHLD,
           SIG_DFL); /* a parent may have had it ignored: then no child could be waited for */
    sigprocmask(SIG_BLOCK, &set, NULL);
}

void interruption_allow(void)
{
    const sigset_t set = held_signals();

    sigprocmask(SIG_UNBLOCK, &set, NULL);
}

int interruption_wait(void)
{
    const sigset_t set = held_signals();
    const struct timespec second = {.tv_sec = 1};
    int signal = sigtimedwait(&set, NULL, &second);

    return signal > 0 && signal != SIGCHLD ? signal : 0;
}

void interruption_obey(int signal)
{
    raise(signal);
    interruption_allow();
}
