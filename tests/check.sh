#!/bin/sh
# Build with gcc and clang, run every test and add up: tests/check.sh BUILD
#
# Each stage may end in a line "N passed, N failed"; one that says none counts as one test, by its
# exit status. The last line printed is the sum over all stages.
unset MAKEFLAGS MFLAGS MAKELEVEL
folder=$1
gcc=$1/gcc
jobs=$(getconf _NPROCESSORS_ONLN 2>/dev/null || echo 2)
log=$folder/check.log
all_passed=0
all_failed=0
summary=

# build COMPILER: everything that is built, warnings as errors.
build() {
    make -s -j "$jobs" BUILD="$folder/$1" CC="$1" WERROR=-Werror tests
}

# What of testimages is made by a tool, made again, is what is checked in.
same_pictures() {
    rm -rf "$folder/testimages" && mkdir -p "$folder/testimages" || return
    "$gcc/scene" testimages "$folder/testimages" >/dev/null || return
    "$gcc/demo_range" >"$folder/testimages/demo-range.csv" || return
    for made in "$folder"/testimages/*; do
        cmp "$made" "testimages/${made##*/}" || return
    done
}

# stage NAME COMMAND...: run it, show what it prints and count its tests.
stage() {
    name=$1
    shift
    printf '\n== %s\n' "$name"
    begin=$(date +%s)
    { "$@" 2>&1; echo $? >"$log.status"; } | tee "$log"
    status=$(cat "$log.status")
    counts=$(sed -n 's/^\([0-9]*\) passed, \([0-9]*\) failed$/\1 \2/p' "$log" | tail -1)
    passed=${counts% *}
    failed=${counts#* }
    if [ -z "$counts" ]; then
        passed=$((status == 0))
        failed=$((status != 0))
    elif [ "$status" -ne 0 ] && [ "$failed" -eq 0 ]; then
        failed=1
    fi
    all_passed=$((all_passed + passed))
    all_failed=$((all_failed + failed))
    summary="$summary$(printf '%5d passed %4d failed %4d s  %s' "$passed" "$failed" \
        $(($(date +%s) - begin)) "$name")
"
}

mkdir -p "$folder" || exit 2
stage "built by gcc without a warning" build gcc
stage "built by clang without a warning" build clang
stage "source text" make -s BUILD="$gcc" CC=gcc WERROR=-Werror lint
stage "source text with a fault planted" /usr/bin/python3 -B tests/lint_test.py
stage "unit and scene tests" sh tests/unit/run.sh "$gcc"
stage "the command line" sh tests/cli/run.sh "$gcc"
stage "kills, many writers, the clock set back" make -s BUILD="$gcc" CC=gcc WERROR=-Werror check-faults
stage "damaged files" sh tests/fuzz/replay.sh "$gcc"
stage "the test images made again" same_pictures
stage "colour values and accuracy" make -s BUILD="$gcc" CC=gcc WERROR=-Werror check-accuracy

printf '\n%s\n' "$summary"
echo "$all_passed passed, $all_failed failed"
[ "$all_failed" -eq 0 ]
