#!/bin/sh
# Run the unit and scene tests: tests/unit/run.sh BUILD [RUNNER...]
#
# RUNNER is put before each program, such as "valgrind". A program that ends without its own
# summary, as when it crashes, counts as one failed test.
build=$1
shift
log=$(mktemp) || exit 2
trap 'rm -f "$log"' EXIT
passed=0
failed=0

# count WORD: of the tests in the log, those that cmocka says this of.
count() {
    sed -n "s/^\[  $1  \] \([0-9]*\) test(s).*/\1/p" "$log" | tail -1
}

for program in "$build"/tests/test_*; do
    if [ ! -x "$program" ] || [ -d "$program" ]; then continue; fi
    "$@" "$program" >"$log" 2>&1
    status=$?
    program_passed=$(count PASSED)
    program_failed=$(count FAILED)
    passed=$((passed + ${program_passed:-0}))
    failed=$((failed + ${program_failed:-$((status != 0))}))
    if [ $status -ne 0 ]; then
        echo "failed: $program (exit status $status)"
        grep -vE '^\[( +OK|=+| RUN|  PASSED)' "$log" | sed 's/^/    /' | head -40
    fi
done
echo "$passed passed, $failed failed"
[ "$failed" -eq 0 ] && [ "$passed" -gt 0 ]
