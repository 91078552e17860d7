# Readings are printed some at a time; together they are one table, and one list.
printf 'ink,L,a,b,u95,photo,chart,row,column,taken,found\n' >many.csv
awk 'BEGIN { for (i = 0; i < 401; i++)
	printf "Plot %d,50.%02d,10,20,0.7,p%d.jpg,chart %d,%d,%d,2026-02-01 10:%02d Z,ink\n", i % 40 + 1, i % 100, i / 40, i / 40, i % 40 / 8 + 1, i % 8 + 1, i / 40 }' >>many.csv
export_counts() {
	woad export --format csv >all.csv || exit
	woad export --format json >all.json || exit
	echo "$(tail -n +2 all.csv | wc -l) $(python3 -c 'import json; print(len(json.load(open("all.json"))))')"
	columns ink row column L <all.csv | tail -n +2 >from-csv
	python3 -c 'import json
for r in json.load(open("all.json")): print("%s,%d,%d,%.2f" % (r["ink"], r["row"], r["column"], r["L"]))' | cut -d, -f1-3 >from-json
	cut -d, -f1-3 from-csv | cmp - from-json
}
for rows in 1 200 401; do
	rm -f inventory.db
	head -n $((rows + 1)) many.csv >some.csv
	woad import some.csv --inventory inventory.db 2>/dev/null || exit
	export_counts
done
