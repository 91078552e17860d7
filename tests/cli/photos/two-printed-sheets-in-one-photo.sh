# Two sheets side by side are both read by their marks, each with its own names.
for row in 1 2 3 4 5; do
	echo "Plot ${row}a,Plot ${row}b,Plot ${row}c,Plot ${row}d" >>plots.csv
	echo "Bed ${row}a,Bed ${row}b,Bed ${row}c,Bed ${row}d" >>beds.csv
done
woad sheet chart page.png --page a5 --names plots.csv --names beds.csv --title "Seed packets" 2>/dev/null || exit
sed -i 's/made by woad/printed page/' page.png page-2.png
printed_photo "$WOAD_CALIBRATION/card24-from-2014-11.txt" photo.png page=page.png second=page-2.png turns=2 >truth.csv || exit
sed -i 's/made by woad/photo of it./' photo.png
quietly woad measure photo.png --format csv >measured.csv || exit
tail -n +2 truth.csv >truth
tail -n +2 measured.csv | paste -d, - truth | awk -F, '
	{ split($1, chart, "chart ") }
	{ if ($4 == (chart[2] == 1 ? "Plot " : "Bed ") $2 substr("abcd", $3, 1)) named++ }
	{ if (($6 - $(NF - 2))^2 + ($7 - $(NF - 1))^2 + ($8 - $NF)^2 < 4) right++ }
	END { print named " of " NR " named, " right " within 2 of their colour" }'
woad inks --format csv | tail -n +2 | wc -l
woad measure photo.png --dry-run 2>&1 >/dev/null | grep -o "sheet [0-9]* (.*)" | sort
