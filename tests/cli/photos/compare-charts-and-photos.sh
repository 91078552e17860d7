# Two sheets of the same inks in two lights; every third ink of the second comes from a weaker pad.
sheet() { # sheet NAME OPTION...
	scene plain "$@" --grade ordinary --number 34 --rows 6 --columns 5 --width 1600 --height 1200 \
		--palette all --sheet-seed 92 >/dev/null || exit 98
}
sheet old --seed 1
sheet new --seed 2 --batch 7 --kelvin 6000 --exposure 0.75
quietly woad measure old.jpg --names old.names.csv --chart old --paper smooth >measured
quietly woad measure new.jpg --names old.names.csv --chart new --paper rough >measured
woad compare --chart old --chart new --format csv >charts.csv 2>notes
grep -c 'warning: made on different papers' notes
woad compare old.jpg new.jpg --names old.names.csv --more --format csv >photos.csv 2>notes
grep -c 'common to all inks' notes
cut -d , -f 1-9 charts.csv >one
cut -d , -f 1-9 photos.csv >two
cmp one two
python3 - <<'END'
import csv, math
def truth(path):
    return {r["name"]: [float(r[k]) for k in "Lab"] for r in csv.DictReader(open(path)) if r["item"] == "cell"}
old, new = truth("old.truth.csv"), truth("new.truth.csv")
told = 0
for row in csv.DictReader(open("photos.csv")):
    moved = math.dist(old[row["ink"]], new[row["ink"]])
    if row["verdict"] == "different" and moved < 1.8 or row["verdict"] == "same" and moved > 6:
        print(row["ink"], "moved by", moved, "and is said to be", row["verdict"])
    told += row["verdict"] in ("same", "different")
print("told" if told >= 12 else "only %d told" % told)
END
woad compare old.jpg old.jpg 2>&1
woad compare --chart old --chart newer 2>&1
