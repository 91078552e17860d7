#ifndef WOAD_COMMANDS_CONFINEMENT_H
#define WOAD_COMMANDS_CONFINEMENT_H

#include <stdbool.h>

/**
 * Let the process, and those it forks, start no program, open no connection and look into no other
 * process any more: photos come from anyone, and whatever a broken one makes its decoder do, it can
 * neither send what it finds nor run anything. A call that is refused fails with EPERM. Files stay
 * open to it as to the person.
 *
 * Returns: false, and then all is as before, where the kernel has no such filters or woad was built
 *          without libseccomp.
 */
bool confinement_begin(void);

#endif
