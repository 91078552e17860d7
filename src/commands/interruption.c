#include "interruption.h"

#include <signal.h>
#include <stdbool.h>
#include <stddef.h>
#include <time.h>

#define STATUS_BY_SIGNAL 128 /* as shells report an end by a signal, common practice */

/* Whoever started the program with a signal ignored, as nohup does, wants it to go on. */
static bool is_ignored(int signal)
{
    struct sigaction action;

    return sigaction(signal, NULL, &action) == 0 && action.sa_handler == SIG_IGN;
}

static sigset_t held_signals(void)
{
    const int interruptions[] = {SIGINT, SIGTERM, SIGHUP};
    sigset_t set;

    sigemptyset(&set);
    sigaddset(&set, SIGCHLD);
    for (int i = 0; i < 3; i++)
        if (!is_ignored(interruptions[i]))
            sigaddset(&set, interruptions[i]);
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

int interruption_obey(int signal)
{
    raise(signal);
    interruption_allow();
    return STATUS_BY_SIGNAL + signal;
}
