#!/bin/sh
# Run the unit and scene tests: tests/unit/run.sh BUILD [RUNNER...]
#
# RUNNER is put before each program, such as "valgrind".
build=$1
shift
for program in "$build"/tests/test_*; do
    if [ -x "$program" ] && [ ! -d "$program" ]; then echo "$program"; fi
done | sh tests/each.sh sh tests/unit/program.sh "$@"
