# A sheet printed and read; then an ink on it is renamed, merged into another on it, or forgotten: photographed
# again the sheet still reads, and each cell's readings go to the ink that it is now.
for row in 1 2 3 4 5; do
	echo "Plot ${row}a,Plot ${row}b,Plot ${row}c,Plot ${row}d"
done >names.csv
woad sheet chart page.png --page a5 --names names.csv --title "Seed packets" 2>/dev/null || exit
sed -i 's/made by woad/printed page/' page.png
for turns in 0 1; do
	printed_photo "$WOAD_CALIBRATION/card24-from-2014-11.txt" photo$turns.png page=page.png turns=$turns >/dev/null || exit
	sed -i 's/made by woad/photo of it./' photo$turns.png
done
quietly woad measure photo0.png --at "2026-05-03 10:00" >/dev/null || exit
cp inventory.db before.db

# How often the cells B2 and B3 were read, and as which ink.
cells() { woad export | sed 's/, sheet/ sheet/' | columns ink row column | grep -E ',2,[23]$' | sort | uniq -c | sed 's/^ *//'; }

# changed COMMAND...: change the inventory, photograph the sheet again, count the inks, tell of the cells
changed() {
	rm -rf inventory.db*
	cp before.db inventory.db
	woad "$@" >/dev/null && quietly woad measure photo1.png --at "2026-05-04 10:00" >/dev/null || exit
	woad inks --format csv | sed 1d | wc -l
	cells
}
echo "== renamed"
changed rename "Plot 2b" "Sorrel"
echo "== merged into another of the sheet"
changed merge "Plot 2b" "Plot 2c"
echo "== forgotten: measured anew it is an ink again, with nothing of what was forgotten"
changed forget ink "Plot 2b"
echo "== merged, and that taken back"
changed merge "Plot 2b" "Plot 2c"
woad undo >/dev/null
cells
