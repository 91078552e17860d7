#!/bin/sh
# How many lines of each source file the unit and command line tests run: tests/coverage.sh BUILD
set -u
build=$1
make -s -j "$(getconf _NPROCESSORS_ONLN)" BUILD="$build" CC=gcc OPTIMISE=-O0 SANITIZE=--coverage \
    tests || exit
find "$build" -name '*.gcda' -exec rm {} +
status=0
sh tests/unit/run.sh "$build" || status=1
sh tests/cli/run.sh "$build" || status=1

for source in $(find src -name '*.c' | sort); do
    object=$build/${source#src/}
    gcov -n -o "${object%.c}.o" "$source" 2>/dev/null | awk -v source="$source" '
        /^File/ { own = index($0, "\x27" source "\x27") }
        own && /^Lines executed:/ { gsub(/Lines executed:|%/, ""); print source, $1, $3; exit }'
done >"$build/coverage.txt"
awk '{ printf "%6.1f %% of %4d lines  %s\n", $2, $3, $1; run += $2 * $3 / 100; all += $3 }
    END { printf "%6.1f %% of %4d lines in all\n", 100 * run / all, all }' "$build/coverage.txt"
exit $status
