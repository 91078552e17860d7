#!/bin/sh
# Feed every seed and every crasher to its target, without an engine: tests/fuzz/replay.sh BUILD
set -u
build=$1
here=$(dirname "$0")
passed=0
failed=0

for program in "$build"/fuzz/replay_*; do
    target=${program##*/replay_}
    for input in "$here"/seeds/"$target"/* "$here"/crashers/"$target"/*; do
        [ -e "$input" ] || continue
        if message=$(timeout 20 "$program" "$input" 2>&1); then
            passed=$((passed + 1))
        else
            failed=$((failed + 1))
            echo "failed: $target with $input"
            echo "$message" | sed 's/^/    /' | head -20
        fi
    done
done
echo "$passed passed, $failed failed"
[ "$failed" -eq 0 ] && [ "$passed" -gt 0 ]
