# By one corner mark alone a far cell could be taken for its neighbour: such a photo is refused, with what to do.
for row in 1 2 3 4 5; do
	echo "Plot ${row}a,Plot ${row}b,Plot ${row}c,Plot ${row}d"
done >names.csv
woad sheet chart page.png --page a5 --names names.csv --title "Seed packets" 2>/dev/null || exit
sed -i 's/made by woad/printed page/' page.png
look() {
	rm -f photo.png
	printed_photo "$WOAD_CALIBRATION/card24-from-2014-11.txt" photo.png page=page.png tilt=15 axis=40 "$@" >truth.csv || exit
	sed -i 's/made by woad/photo of it./' photo.png
}
for hide in 123 023 013 012; do
	look hide=$hide
	woad measure photo.png
	echo "exit $?"
done
woad export | wc -l
