# Of a sheet without blank cells nothing tells how it lies, and that is said; where the inventory holds
# its inks, names that lie turned or shifted are refused; --turned says how it lies.
rendered photo
for turn in 90 180 270; do jpegtran -copy all -rotate $turn photo.jpg >turned-$turn.jpg; done
names="--names photo.names.csv --chart spring"
quietly woad measure turned-180.jpg $names --dry-run >/dev/null; grep -o "nothing tells which way up" notes
quietly woad measure photo.jpg $names --turned 0 >/dev/null; grep -c "nothing tells" notes
woad export | columns row column ink L | sort >before
for turn in 180 90; do
	woad measure turned-$turn.jpg $names >/dev/null || echo $?
done
(tail -n 1 photo.names.csv; head -n 3 photo.names.csv) >shifted.csv
woad measure photo.jpg --names shifted.csv --chart spring --again >/dev/null || echo $?
woad measure turned-180.jpg --chart spring >/dev/null || echo $?
for turn in 90 180 270; do
	quietly woad measure turned-$turn.jpg $names --turned $turn --format csv | columns ink found >read-$turn
	cmp read-90 read-$turn
done
woad inks --format csv 2>/dev/null | columns readings | sort | uniq -c
woad measure photo.jpg $names --turned 45
