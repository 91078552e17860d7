#!/bin/sh
# Kill the program while it measures, let many write at once, set the clock back:
# tests/faults/attacks.sh BUILD
#
# Whatever happens, the inventory is sound and holds whole photos, each once. KILLS (200) runs over 20
# photos are killed at moments spread over a whole run, by turns the one process and all of them;
# WRITERS (8) processes store at once.
set -u
build=$(cd "$1" && pwd) || exit 2
KILLS=${KILLS:-200}
WRITERS=${WRITERS:-8}
cells=12 # of each photo
folder=$(mktemp -d) || exit 2
trap 'rm -rf "$folder"' EXIT
trap 'exit 2' INT TERM
WOAD_CALIBRATION=$PWD/calibration
TZ=UTC0
export WOAD_CALIBRATION TZ
passed=0
failed=0

cd "$folder" || exit 2
"$build/scene" plain photo --grade even --number 31 --rows 4 --columns 3 --width 640 --height 480 \
    >/dev/null || exit 2
# The same picture under another hash each: what follows a JPEG's end is not looked at.
for number in $(seq 20); do
    { cat photo.jpg; echo "$number"; } >"photo-$number.jpg"
done

# verdict WHAT FAULT: count it, and say the fault if there is one.
verdict() {
    if [ -z "$2" ]; then
        passed=$((passed + 1))
    else
        failed=$((failed + 1))
        echo "failed: $1: $2"
    fi
}

# wrong_inventory [PHOTOS]: say what is wrong with it, also if it holds not so many photos.
wrong_inventory() {
    sound=$(sqlite3 inventory.db "PRAGMA integrity_check; PRAGMA foreign_key_check" 2>&1)
    [ "$sound" = ok ] || echo "the inventory is damaged: $sound"
    halves=$(sqlite3 inventory.db "SELECT count(*) FROM (SELECT photo_id FROM reading
        GROUP BY photo_id HAVING count(*) <> $cells)" 2>&1)
    [ "$halves" = 0 ] || echo "photos not whole: $halves"
    held=$(sqlite3 inventory.db "SELECT count(DISTINCT photo_id) FROM reading" 2>&1)
    [ "$held" = "${1:-$held}" ] || echo "$held photos are held, not $1"
}

# in_a_group COMMAND...: run it in the background as leader of a process group of its own.
in_a_group() {
    setsid "$@" >stdout 2>stderr &
    leader=$!
}

milliseconds() {
    date +%s%3N
}

kill_while_measuring() {
    "$build/woad" measure --jobs 2 photo-1.jpg --inventory inventory.db >/dev/null 2>&1 || return
    rm -rf inventory.db*
    began=$(milliseconds)
    "$build/woad" measure --jobs 2 photo-*.jpg --inventory inventory.db >/dev/null 2>&1 || return
    whole_ms=$(($(milliseconds) - began))
    verdict "20 photos without a kill" "$(wrong_inventory 20)"
    kill=1
    while [ "$kill" -le "$KILLS" ]; do
        rm -rf inventory.db*
        in_a_group "$build/woad" measure --jobs 2 photo-*.jpg --inventory inventory.db
        sleep "$(awk "BEGIN { print $whole_ms * $kill / ($KILLS + 1) / 1000 }")"
        target=$leader
        [ $((kill % 2)) -eq 0 ] || target=-$leader
        kill -KILL -- "$target" 2>/dev/null
        wait "$leader" 2>/dev/null
        sleep 0.1 # those whose parent alone was killed come to their end by themselves
        [ ! -e inventory.db ] ||
            verdict "kill $kill of $KILLS, after $((whole_ms * kill / (KILLS + 1))) ms" "$(wrong_inventory)"
        kill=$((kill + 1))
    done
    "$build/woad" measure --jobs 2 photo-*.jpg --inventory inventory.db >/dev/null 2>&1
    verdict "all that is left after a kill" "$(wrong_inventory 20)"
}

# write_at_once: many processes, each with photos of its own and one that all have.
write_at_once() {
    rm -rf inventory.db*
    writers=
    for number in $(seq "$WRITERS"); do
        "$build/woad" measure "photo-$number.jpg" --inventory inventory.db >/dev/null 2>&1 &
        writers="$writers $!"
    done
    wrong=
    for writer in $writers; do
        wait "$writer" || wrong="a writer ended with $?"
    done
    verdict "$WRITERS writers at once" "$wrong$(wrong_inventory "$WRITERS")"
}

# set_clock_back: the second photo is stored ten years before the first.
set_clock_back() {
    rm -rf inventory.db*
    "$build/woad" measure photo-1.jpg --inventory inventory.db >/dev/null 2>&1
    LD_PRELOAD="$build/faults/clock.so" SET_BACK_S=315360000 \
        "$build/woad" measure photo-2.jpg --inventory inventory.db >stdout 2>stderr
    status=$?
    wrong=
    [ "$status" -eq 0 ] || wrong="exit status $status: $(tail -1 stderr)"
    verdict "the clock set back" "$wrong$(wrong_inventory 2)"
}

kill_while_measuring
write_at_once
set_clock_back
echo "$passed passed, $failed failed"
[ "$failed" -eq 0 ]
