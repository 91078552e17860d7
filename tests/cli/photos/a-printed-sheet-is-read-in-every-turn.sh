# A chart that woad printed needs no names file, and no one has to say which way up it lies.
for row in 1 2 3 4 5; do
	echo "Plot ${row}a,Plot ${row}b,Plot ${row}c,Plot ${row}d"
done >names.csv
woad sheet chart page.png --page a5 --names names.csv --title "Seed packets" 2>/dev/null || exit
# What woad made it refuses as a photo; paper bears no such mark.
sed -i 's/made by woad/printed page/' page.png
for turns in 0 1 2 3; do
	rm -f photo.png
	printed_photo "$WOAD_CALIBRATION/card24-from-2014-11.txt" photo.png page=page.png turns=$turns >truth.csv || exit
	sed -i 's/made by woad/photo of it./' photo.png
	quietly woad measure photo.png --dry-run --format csv >measured.csv || exit
	tail -n +2 truth.csv >truth
	tail -n +2 measured.csv | paste -d, - truth | awk -F, -v turns=$turns '
		{ if ($2 == $(NF - 4) && $3 == $(NF - 3) && $4 == "Plot " $2 substr("abcd", $3, 1)) named++ }
		{ if (($6 - $(NF - 2))^2 + ($7 - $(NF - 1))^2 + ($8 - $NF)^2 < 4) right++ }
		END { print turns " quarter turns: " named " of " NR " named, " right " within 2 of their colour" }'
done
woad measure photo.png --inventory other.db --dry-run >/dev/null
