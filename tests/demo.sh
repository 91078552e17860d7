#!/bin/sh
# Measure a photo of the test images into a fresh inventory, then put the questions of a range to
# the invented one: tests/demo.sh BUILD
set -eu
build=$1
photo=testimages/seed-packets
range=$build/demo-range.db

# ask LINES COMMAND...: show a question and as many lines of the answer.
ask() {
	lines=$1
	shift
	printf '\n$ woad'
	for word; do
		case $word in
		*' '*) printf ' "%s"' "$word" ;;
		*) printf ' %s' "$word" ;;
		esac
	done
	printf '\n'
	"$build/woad" "$@" --inventory "$range" >"$build/demo-answer"
	head -n "$lines" "$build/demo-answer"
	more=$(($(wc -l <"$build/demo-answer") - lines))
	[ "$more" -le 0 ] || echo "... and $more lines more"
}

rm -f "$build"/demo.db* "$range"* "$build"/demo-sheet.csv
"$build/woad" measure "$photo.jpg" --names "$photo.names.csv" --card before-2014-11 \
    --chart "Thistlewick seed packets" --paper "smooth white card" \
    --inventory "$build/demo.db" --check "$build/seed-packets-check.png"
cat <<END

That is the colour of each of the 48 inks in $photo.jpg, a rendered photo of an invented chart.
To see what was read, and where, open $build/seed-packets-check.png.

The rest is asked of testimages/demo-range.csv: 64 invented inks on two invented sheets.
END
"$build/woad" import testimages/demo-range.csv --inventory "$range" 2>/dev/null
echo
echo "Which inks could stand in for one of them?"
ask 5 near "Redcurrant 40" --count 3
echo
echo "Which inks to buy, so that no ink of the range is farther than delta E 8 from one of them?"
ask 15 cover --within 8
echo
echo "In what order do they go on a sheet?"
ask 18 order --sheet 8x8 --write "$build/demo-sheet.csv"
echo
echo "What to blend next around one of them?"
ask 7 combine "Beetroot 12" --mood contrast --count 4 --picture "$build/demo-strips.png"
cat <<END

How these blends may look is drawn in $build/demo-strips.png.
The readings are in $build/demo.db and $range; ask for one ink, or for all of them:

    $build/woad show "Beetroot 12" --inventory $build/demo.db
    $build/woad inks --inventory $range
END
