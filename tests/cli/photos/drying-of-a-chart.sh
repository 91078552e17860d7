# A rendered chart dries with a time constant of 20 minutes; its fourth column was dry long before.
# The clock that tells the inking has another offset than the one that tells the photos.
dry() { # dry MINUTES WETNESS TIME
	scene plain "t$1" --grade even --number 31 --rows 4 --columns 4 --width 1280 --height 960 \
		--palette all --edition 2014-11 --wet "$2" --seed "$1" --sheet-seed 77 --exposure "0.8$1" >/dev/null || exit 98
	[ -e names.csv ] || sed 's/,/ @ 2026-05-03 12:20 +02:00,/g; s/$/ @ 2026-05-01 09:00/' "t$1.names.csv" >names.csv
	quietly woad measure "t$1.jpg" --names names.csv --chart spring --at "2026-05-03 $3 +00:00" >measured
}
dry 2 0.905 10:22
woad drying --chart spring 2>notes | head -2
cat notes
dry 10 0.607 10:30
dry 25 0.287 10:45
dry 60 0.050 11:20
dry 240 0 14:20
woad drying --chart spring --format csv >fits.csv 2>notes
sed 's/[0-9][0-9]* did not change, [0-9][0-9]* settled/N did not change, N settled/; s/1[0-4]:[0-9][0-9]/HH:MM/' notes
python3 - <<'END'
import csv, math
def truth(path):
    return {r["name"]: [float(r[k]) for k in "Lab"] for r in csv.DictReader(open(path)) if r["item"] == "cell"}
wet, dry = truth("t2.truth.csv"), truth("t240.truth.csv")
fits = list(csv.DictReader(open("fits.csv")))
print(len(fits), "swatches")
for fit in fits:
    name, column = fit["ink"], fit["cell"][1]
    lighter = dry[name][0] - wet[name][0]
    moved = math.dist(wet[name], dry[name])
    if column == "4" and fit["state"] != "did not change":
        print(name, "was dry, and is said to be", fit["state"])
    if column != "4" and moved > 5 and fit["state"] != "settled":
        print(name, "moved by", moved, "and is said to be", fit["state"])
    if fit["state"] == "did not change" and fit["difference"] != "within the error":
        print(name, "did not move, and is said to be", fit["difference"])
    if fit["state"] == "settled" and abs(float(fit["dL"]) - lighter / 0.905) > 1:
        print(name, "grew lighter by", lighter / 0.905, "and is said to by", fit["dL"])
    if fit["state"] == "settled" and not 8 < float(fit["tau_minutes"]) < 40:
        print(name, "dries in", fit["tau_minutes"])
ranks = [float(fit["delta_e"]) for fit in fits]
print("furthest first" if ranks == sorted(ranks, reverse=True) else ranks)
print(sum(fit["state"] == "settled" for fit in fits) >= 9)
END
woad drying 'Juniper 1' 2>notes | tail -1 | sed 's/ [0-9.][0-9.]* \(min\|h\)/ TIME/g; s/1[01]:[0-9][0-9]/HH:MM/'
woad drying 'Juniper 1' --format csv 2>notes | cut -d , -f 1-6
woad drying 'Juniper 1' --fits --format json 2>notes | python3 -c 'import json, sys; fit = json.load(sys.stdin)[0]; print(fit["state"], "lighter" in fit["difference"], fit["controls"] > 3)'
woad drying 'Juniper 1' --plots plots >rows 2>notes
head -c 5 plots/juniper-1-*.svg
echo
woad drying 'Junipr 1' 2>&1
woad drying --chart autumn 2>&1
