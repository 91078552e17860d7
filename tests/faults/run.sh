#!/bin/sh
# Let allocations and writes fail, and kill the program, at one place after another:
# tests/faults/run.sh BUILD
#
# Whatever fails, the program ends by itself with a status it documents, and the inventory holds
# whole photos: the one stored before, and the one being stored or nothing of it.
# STRIDE is how many allocations lie between those that fail; 1 tries every one, for an hour.
# Writes fail, and kills come, at every system call that stores a photo up to a STRIDE of 23, and at
# every STRIDE-th of those that write pictures.
set -u
build=$(cd "$1" && pwd) || exit 2
STRIDE=${STRIDE:-23}
folder=$(mktemp -d) || exit 2
trap 'rm -rf "$folder"' EXIT
trap 'exit 2' INT TERM
WOAD_CALIBRATION=$PWD/calibration
TZ=UTC0
export WOAD_CALIBRATION TZ
cells=12 # of each of the two photos
passed=0
failed=0

cd "$folder" || exit 2
for number in 31 32; do
    "$build/scene" plain "photo-$number" --grade even --number $number --rows 4 --columns 3 \
        --width 640 --height 480 >/dev/null || exit 2
done
"$build/woad" measure photo-31.jpg --inventory before.db >/dev/null 2>&1 || exit 2

# store RUNNER...: measure the second photo into an inventory that holds the first.
store() {
    rm -rf inventory.db*
    cp before.db inventory.db
    "$@" "$build/woad" measure photo-32.jpg --inventory inventory.db >stdout 2>stderr
}

# draw RUNNER...: write every kind of file that measuring can write.
draw() {
    rm -f drawn.*
    "$@" "$build/woad" measure photo-32.jpg --dry-run --check drawn.png --corrected drawn.jpg \
        --profile drawn.icc >stdout 2>stderr
}

verdict() {
    if [ -z "$2" ]; then
        passed=$((passed + 1))
    else
        failed=$((failed + 1))
        echo "failed: $1: $2"
        sed 's/^/    said: /' stderr | tail -2
    fi
}

# wrong_inventory STATUS: say what is wrong with it after storing ended so.
wrong_inventory() {
    kept=$("$build/woad" export --inventory inventory.db --format csv 2>/dev/null | wc -l)
    sound=$(sqlite3 inventory.db "PRAGMA integrity_check; PRAGMA foreign_key_check" 2>&1)
    case $((kept - 1)) in
    "$cells") [ "$1" -ne 0 ] || echo "said to be stored, but is not" ;;
    $((2 * cells))) ;;
    *) echo "the inventory holds $((kept - 1)) readings" ;;
    esac
    [ "$sound" = ok ] || echo "the inventory is damaged: $sound"
}

# wrong_files: say which file stands there half written: by the mark at a PNG's end; or, as the
# others' times of making and their checksums differ, by size and most bytes. A temporary file may
# be left where the program was killed.
wrong_files() {
    for file in drawn.png drawn.jpg drawn.icc; do
        [ -e "$file" ] || continue
        case $file in
        *.png) tail -c 8 drawn.png | grep -q '^IEND' && continue ;;
        *)
            whole=whole.${file#drawn.}
            [ "$(wc -c <"$file")" -eq "$(wc -c <"$whole")" ] &&
                [ "$(cmp -l "$file" "$whole" | wc -l)" -le 24 ] && continue
            ;;
        esac
        echo "$file is not whole"
    done
}

# wrong_end STATUS WANTED...: say if it ended otherwise, or well but with another result. A file that
# can't be opened for want of memory is one that can't be opened: the message says why.
wrong_end() {
    ended=$1
    shift
    [ "$ended" -ne 2 ] || ! grep -q 'Cannot allocate memory' stderr || return
    # Without memory in the midst of a stroke cairo itself ends the program, which no caller can mend.
    [ "$ended" -ne 134 ] ||
        ! grep -q -e '_cairo_error: Assertion' -e 'longjmp causes uninitialized' stderr || return
    for wanted in 0 "$@"; do
        if [ "$ended" -eq "$wanted" ]; then
            [ "$ended" -ne 0 ] || cmp -s stdout stdout.whole || echo "the result differs"
            [ "$ended" -eq 0 ] || grep -q '^woad: ' stderr || echo "no fault is said"
            return
        fi
    done
    echo "exit status $ended"
}

# fail_allocations WHAT STEP: let one after another fail while storing or drawing.
fail_allocations() {
    what=$1
    $what env LD_PRELOAD="$build/faults/allocation.so" COUNT_TO="$folder/count"
    cp stdout stdout.whole
    at=$2
    while [ "$at" -le "$(cat count)" ]; do
        $what env LD_PRELOAD="$build/faults/allocation.so" FAIL_AT="$at"
        status=$?
        verdict "allocation $at of $(cat count) fails, $what" \
            "$(wrong_end $status 7)$("wrong_$3" $status)"
        at=$((at + $2))
    done
}

# calls WHAT CALL: how many such system calls it makes.
calls() {
    $1 strace -qq -o trace -e trace="$2" -e signal=none
    grep -c "^$2" trace
}

# at_calls WHAT CALL STEP FAULT CHECK: put the fault in the place of one call after another.
at_calls() {
    count=$(calls "$1" "$2")
    cp stdout stdout.whole
    at=1
    while [ "$at" -le "$count" ]; do
        $1 strace -qq -o trace -e trace="$2" -e inject="$2:$4:when=$at"
        status=$?
        case $4 in
        signal=*) wrong= ;;
        *) wrong=$(wrong_end $status 2 6) ;;
        esac
        verdict "$2 $at of $count, $4, $1" "$wrong$("wrong_$5" $status)"
        at=$((at + $3))
    done
}

draw env || exit 2
for file in drawn.*; do mv "$file" "whole.${file#drawn.}"; done

fail_allocations store "$STRIDE" inventory
fail_allocations draw $((STRIDE * 10)) files
if ! strace -qq -o trace true; then
    echo "failed: strace can't be used here, so neither writes nor kills were tried"
    failed=$((failed + 1))
else
    for fault in error=ENOSPC error=EIO signal=KILL; do
        for call in pwrite64 fdatasync fsync ftruncate; do
            at_calls store $call $(((STRIDE + 22) / 23)) $fault inventory
        done
        for call in write rename; do
            at_calls draw $call "$STRIDE" $fault files
        done
    done
fi
echo "$passed passed, $failed failed"
[ "$failed" -eq 0 ]
