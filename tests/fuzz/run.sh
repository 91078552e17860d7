#!/bin/sh
# Fuzz targets with clang's engine: tests/fuzz/run.sh BUILD SECONDS TARGET...
#
# What is found stays in BUILD/found/TARGET from run to run. An input that crashes a target is named
# at the end: mend the fault, then keep the input as tests/fuzz/crashers/TARGET/WHAT-WAS-WRONG.
set -u
build=$1
seconds=$2
shift 2
root=$PWD
LSAN_OPTIONS=suppressions=$root/tests/suppressions/leaks.txt:print_suppressions=0
export LSAN_OPTIONS

failed=0
for target in "$@"; do
    program=$build/fuzz/fuzz_$target
    make -s -j "$(getconf _NPROCESSORS_ONLN)" BUILD="$build" CC=clang \
        SANITIZE="-fsanitize=address,undefined,fuzzer-no-link -fno-sanitize-recover=all" \
        "$program" || exit
    mkdir -p "$build/found/$target" "$build/crashes/$target"
    echo "== $target, $seconds s"
    if "$program" -max_total_time="$seconds" -max_len=32768 -timeout=20 -rss_limit_mb=3000 \
        -artifact_prefix="$build/crashes/$target/" "$build/found/$target" \
        "tests/fuzz/seeds/$target" >"$build/fuzz_$target.log" 2>&1; then
        grep DONE "$build/fuzz_$target.log"
    else
        failed=1
        grep -E 'ERROR|SUMMARY|runtime error|Test unit written' "$build/fuzz_$target.log"
    fi
done
exit $failed
