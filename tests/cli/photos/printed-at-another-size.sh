# "Fit to page" shrinks a sheet; the card's length beside it tells by how much.
for row in 1 2 3 4 5; do
	echo "Plot ${row}a,Plot ${row}b,Plot ${row}c,Plot ${row}d"
done >names.csv
woad sheet chart page.png --page a5 --names names.csv --title "Seed packets" 2>/dev/null || exit
sed -i 's/made by woad/printed page/' page.png
for printed in 1 0.97 1.02; do
	rm -f photo.png
	printed_photo "$WOAD_CALIBRATION/card24-from-2014-11.txt" photo.png page=page.png printed=$printed >truth.csv || exit
	sed -i 's/made by woad/photo of it./' photo.png
	# drawn: six patches 18 mm apart, each 15.12 mm wide
	woad measure photo.png --dry-run --card-length 105.12 2>&1 >/dev/null | awk -v printed=$printed '
		/was printed at/ { said = $0; sub(".*printed at ", "", said); sub(" .*", "", said); off = said / 100 - printed; words = ($0 ~ /fit to page/) }
		END { print printed ": " (said == "" ? "nothing said" : off * off < 0.005 * 0.005 ? "found" : "said " said) (words ? ", fit to page" : "") }'
done
