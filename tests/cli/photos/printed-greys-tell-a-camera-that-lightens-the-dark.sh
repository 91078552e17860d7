# A phone that maps tones locally lifts the greys within dark over the same greys within white.
for row in 1 2 3 4 5; do
	echo "Plot ${row}a,Plot ${row}b,Plot ${row}c,Plot ${row}d"
done >names.csv
woad sheet chart page.png --page a5 --names names.csv --title "Seed packets" 2>/dev/null || exit
sed -i 's/made by woad/printed page/' page.png
for seed in 21 22 23; do
	for tone in 0 0.15; do
		rm -f photo.png
		printed_photo "$WOAD_CALIBRATION/card24-from-2014-11.txt" photo.png page=page.png \
			turns=$seed seed=$seed tone=$tone reach=0.04 edge=1 >truth.csv || exit
		sed -i 's/made by woad/photo of it./' photo.png
		woad measure photo.png --dry-run --more --format csv 2>said >measured.csv || exit
		usual=$(tail -n +2 measured.csv | cut -d, -f9 | sort -n | sed -n 10p)
		grep -q "printed greys come out .* lighter within dark" said && echo "tone $tone: told" || echo "tone $tone: not told"
		[ $tone = 0 ] && plain=$usual
	done
	awk "BEGIN { exit !($usual > 1.2 * $plain) }" && echo "and doubted more"
done
