#ifndef WOAD_COMMANDS_INTERRUPTION_H
#define WOAD_COMMANDS_INTERRUPTION_H

/*
 * Ctrl-C and its like, held back where they would leave something half done.
 * The signals are blocked and asked for, so that no handler needs a variable
 * that outlives its function.
 */

#include <stdbool.h>

/**
 * Hold Ctrl-C, hang-up and termination back, and the endings of child processes. What the program
 * was started with as ignored stays so.
 */
void interruption_hold(void);

/** Let them through again; one that came meanwhile ends the process here. */
void interruption_allow(void);

/**
 * Wait until a child process ends or an interruption comes, a second at most.
 *
 * Shape:   while they are held back.
 * Returns: the signal that came to end this process; 0: none.
 */
int interruption_wait(void);

/**
 * End this process by `signal`, as the one who sent it expects.
 *
 * Returns: where the signal does nothing, the exit status that tells of it.
 */
int interruption_obey(int signal);

#endif
