#!/bin/sh
# Unit tests, command line tests and fuzz inputs under the address and undefined-behaviour
# sanitizers: tests/sanitize.sh BUILD
set -u
build=$1
LSAN_OPTIONS=suppressions=$PWD/tests/suppressions/leaks.txt:print_suppressions=0
UBSAN_OPTIONS=print_stacktrace=1
export LSAN_OPTIONS UBSAN_OPTIONS

make -s -j "$(getconf _NPROCESSORS_ONLN)" BUILD="$build" \
    SANITIZE="-fsanitize=address,undefined -fno-sanitize-recover=all" tests || exit
status=0
sh tests/unit/run.sh "$build" || status=1
sh tests/cli/run.sh "$build" || status=1
sh tests/fuzz/replay.sh "$build" || status=1
exit $status
