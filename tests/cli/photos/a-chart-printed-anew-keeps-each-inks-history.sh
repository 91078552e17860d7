# Order, chart, photo; then a new ink is slotted in, the chart printed and photographed again: inks that stand
# elsewhere now keep their readings, and every reading is of the colour that its ink has.
python3 - <<'END' || exit
print_to = open("inks.csv", "w")
print("ink,L,a,b,u95,inked_at,taken,found", file=print_to)
for i in range(18):  # invented colours, far enough apart that one ink is never taken for another
    colour = (40 + 8 * (i % 4), [40, 25, 0, -25, -18, 10][i // 3], [5, 25, 30, 10, -20, -30][i // 3] + 6 * (i % 3))
    print("Plot %d,%d,%d,%d,0.5,2026-04-01 10:00 Z,2026-04-05 10:00 Z,ink" % ((i + 1,) + colour), file=print_to)
END
quietly woad import inks.csv || exit

# round NAMES.csv TURNS TIME: print the chart of these names, ink it, photograph and measure it
round() {
	rm -f page.png photo.png
	woad sheet chart page.png --page a5 --names "$1" --title "Seed packets" 2>/dev/null || exit
	sed -i 's/made by woad/printed page/' page.png
	python3 - "$1" <<'END' || exit
import csv, sys
colours = {row["ink"]: (row["L"], row["a"], row["b"]) for row in csv.DictReader(open("inks.csv"))}
with open("inked.csv", "w") as inked:
    for row, names in enumerate(csv.reader(open(sys.argv[1])), 1):
        for column, name in enumerate(names, 1):
            if name:
                print(row, column, *colours[name], sep=",", file=inked)
END
	printed_photo "$WOAD_CALIBRATION/card24-from-2014-11.txt" photo.png page=page.png inks=inked.csv turns="$2" seed="$2" >/dev/null || exit
	sed -i 's/made by woad/photo of it./' photo.png
	quietly woad measure photo.png --at "$3" >/dev/null || exit
}
woad order --sheet 5x4 --write before.csv >/dev/null 2>&1 || exit
round before.csv 1 "2026-05-03 10:00"
readings "Sorrel 1,60,-2,40,0.5$DRY"
sed 1d readings.csv >>inks.csv
woad order --slot "Sorrel 1" before.csv --write after.csv >/dev/null 2>&1 || exit
round after.csv 2 "2026-06-03 10:00"
woad export >kept.csv
python3 - <<'END'
import csv
from collections import defaultdict
places = [{name: (row, column) for row, names in enumerate(csv.reader(open(file)), 1)
           for column, name in enumerate(names, 1) if name} for file in ("before.csv", "after.csv")]
moved = sum(places[0][name] != places[1][name] for name in places[0])
print("several stand elsewhere now" if moved >= 3 else f"{moved} moved")
colours = {row["ink"]: row for row in csv.DictReader(open("inks.csv"))}
kept = defaultdict(list)
for row in csv.DictReader(open("kept.csv")):
    if row["ink"]:
        kept[row["ink"]].append(row)
print(len(kept), "inks, read", sorted({len(rows) for rows in kept.values()}), "times")
off = max(sum((float(row[k]) - float(colours[ink][k])) ** 2 for k in "Lab") ** 0.5 for ink, rows in kept.items() for row in rows)
print("every reading shows its ink" if off < 4 else f"off by {off:.1f}")
for place in (0, 1):
    sheet = f"sheet {place + 1}"
    print(sheet, all((int(row["row"]), int(row["column"])) == places[place][ink]
                     for ink, rows in kept.items() for row in rows if row["chart"].endswith(sheet)))
END
