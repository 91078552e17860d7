# Where something lies on two corner marks, or on one of a sheet that bends, its inked cells tell how it lies:
# every name is right and every cell is found to a hundredth of its width; no size of the print is claimed.
for row in 1 2 3 4 5; do
	echo "Plot ${row}a,Plot ${row}b,Plot ${row}c,Plot ${row}d"
done >names.csv
woad sheet chart page.png --page a5 --names names.csv --title "Seed packets" 2>/dev/null || exit
sed -i 's/made by woad/printed page/' page.png
for lies in "hide=12 tilt=14 axis=207 spin=-5.9 turns=1" "hide=0 bend=4 tilt=4 axis=346 spin=0.5 turns=2" "bend=5 tilt=20 axis=88 spin=3"; do
	rm -f photo.png
	# shellcheck disable=SC2086
	printed_photo "$WOAD_CALIBRATION/card24-from-2014-11.txt" photo.png page=page.png places=places.csv $lies >truth.csv || exit
	sed -i 's/made by woad/photo of it./' photo.png
	woad measure photo.png --dry-run --format json --card-length 105.12 >measured.json 2>said || exit
	python3 - <<'END'
import csv, json, math
photo = json.load(open("measured.json"))["photos"][0]
places = [[float(field) for field in row] for row in csv.reader(open("places.csv"))]
off = max(math.dist(seen, place[2:4]) / place[4] for seen, place in zip(photo["chart"]["cell_centres"], places))
named = sum(cell["ink"] == f"Plot {cell['row']}{'abcd'[cell['column'] - 1]}" for cell in photo["readings"])
print(f"{named} named,", "all in their place" if off < 0.01 else f"off by {off:.3f}")
END
	grep -c "was printed at" said || :
done
