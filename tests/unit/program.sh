#!/bin/sh
# Run one unit test program and count its tests: tests/unit/program.sh [RUNNER...] PROGRAM
#
# A program that ends without its own summary, as when it crashes, counts as one failed test.
for program in "$@"; do :; done
log=$(mktemp) || exit 2
trap 'rm -f "$log"' EXIT

# count WORD: of the tests in the log, those that cmocka says this of.
count() {
    sed -n "s/^\[  $1  \] \([0-9]*\) test(s).*/\1/p" "$log" | tail -1
}

"$@" >"$log" 2>&1
status=$?
if [ $status -ne 0 ]; then
    echo "failed: $program (exit status $status)"
    grep -vE '^\[( +OK|=+| RUN|  PASSED)' "$log" | sed 's/^/    /' | head -40
fi
passed=$(count PASSED)
failed=$(count FAILED)
echo "${passed:-0} passed, ${failed:-$((status != 0))} failed"
