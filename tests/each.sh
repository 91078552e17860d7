#!/bin/sh
# Run COMMAND WORD for each line WORD read, several at a time, and add up: tests/each.sh COMMAND...
#
# Each ends in a line "N passed, N failed"; one that says none counts as one test, by its exit status.
# What they print stands in the order of the words, whichever ends first. JOBS are run at a time, as
# many as there are processors if that is not said.
jobs=${JOBS:-$(getconf _NPROCESSORS_ONLN 2>/dev/null || echo 2)}
folder=$(mktemp -d) || exit 2
trap 'rm -rf "$folder"' EXIT
trap 'exit 2' INT TERM

# Not `&`, under which a shell has every command ignore Ctrl-C.
# shellcheck disable=SC2016 # expanded by the inner shell
awk '{ printf "%05d %s\n", NR, $0 }' | xargs -P "$jobs" -I '{}' sh -c '
    report=$0/${1%% *}
    word=${1#* }
    shift
    "$@" "$word" >"$report" 2>&1
    status=$?
    tail -1 "$report" | grep -q "^[0-9]* passed, [0-9]* failed$" && exit 0
    echo "failed: $word (exit status $status)" >>"$report"
    [ $status -ne 0 ] || echo "1 passed, 0 failed" >"$report"
    [ $status -eq 0 ] || echo "0 passed, 1 failed" >>"$report"
' "$folder" '{}' "$@"

cat "$folder"/* 2>/dev/null | awk '
    /^[0-9]+ passed, [0-9]+ failed$/ { passed += $1; failed += $3; next }
    { print }
    END { print passed + 0 " passed, " failed + 0 " failed"; exit failed > 0 || !passed }'
