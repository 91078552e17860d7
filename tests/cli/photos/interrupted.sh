# Ctrl-C leaves whole photos only, and says how many.
photos=
for i in 1 2 3 4 5 6 7 8 9 10 11 12 13 14 15 16 17 18 19 20; do
	cp $TESTIMAGES/sixteen-bits.png photo$i.png
	printf '%s' "$i" >>photo$i.png
	photos="$photos photo$i.png"
done
for jobs in 1 3; do
	rm -rf inventory.db*
	python3 "$SOURCE/tests/cli/terminal.py" 90 --interrupt-at ' 3 of 20 photos done' woad measure --jobs $jobs $photos >rows
	echo "exit status $?"
	said=$(sed -n 's/^interrupted after \([0-9]*\) of 20 photos: \([0-9]*\) measured, 0 refused; \([0-9]*\) readings of \([0-9]*\) photos stored in .*/\1 \2 \3 \4/p' screen)
	whole=$(woad export --format csv | sed 1d | wc -l)
	set -- $said
	[ "$3" = "$whole" ] && [ "$((12 * $4))" = "$3" ] && [ "$1" = "$4" ] && [ "$2" = "$4" ] && echo "as many stored as said"
	[ "$4" -ge 3 ] && [ "$4" -lt 20 ] && echo "some, not all"
done
