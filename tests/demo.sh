#!/bin/sh
# Measure a photo of the test images into a fresh inventory: tests/demo.sh BUILD
set -eu
build=$1
photo=testimages/seed-packets

rm -f "$build"/demo.db*
"$build/woad" measure "$photo.jpg" --names "$photo.names.csv" --card before-2014-11 \
    --chart "Thistlewick seed packets" --paper "smooth white card" \
    --inventory "$build/demo.db" --check "$build/seed-packets-check.png"
cat <<END

That is the colour of each of the 48 inks in $photo.jpg, a rendered photo of an invented chart.
To see what was read, and where, open $build/seed-packets-check.png.
The readings are in $build/demo.db; ask for one ink, or for all of them:

    $build/woad show "Beetroot Hem" --inventory $build/demo.db
    $build/woad inks --inventory $build/demo.db
END
