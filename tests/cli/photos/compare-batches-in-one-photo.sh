# Six inks, four swatches of the old pad and four of the new; the new pads of the first and the
# fourth ink are weaker.
scene plain both --grade even --number 33 --rows 6 --columns 8 --width 1600 --height 1200 \
	--palette all --repeats 8 --batch 5 --sheet-seed 91 >/dev/null || exit 98
awk -F, '{ for (i = 1; i <= NF; i++) printf "%s [%s]%s", $i, i <= 4 ? "old" : "new", i < NF ? "," : "\n" }' both.names.csv >names.csv
quietly woad measure both.jpg --names names.csv --chart both >measured
woad compare --batch old --batch new --more --format csv 2>notes | sed 's/"[^"]*"/words/' | cut -d , -f 1-3,12-14
sed 's/0\.[0-9]* per/N per/' notes
ink=$(cut -d , -f 1 both.names.csv | head -1)
woad compare "$ink" --batch old --batch new --format csv 2>notes | cut -d , -f 1-3
woad compare "$ink" --batch old --batch newer 2>&1
woad compare "$ink of old" --batch old --batch new 2>&1
