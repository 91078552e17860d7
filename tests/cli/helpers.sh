# What the cases share; read in before each.

# refused COMMAND...: run a command that must store nothing and print nothing on standard output.
refused() {
	"$@"
	refused_status=$?
	if [ -e inventory.db ] && [ "$(woad export --format csv | wc -l)" -ne 1 ]; then
		echo "readings were stored"
	fi
	return $refused_status
}

# rendered NAME OPTION VALUE...: make NAME.jpg and NAME.names.csv, the same each time.
rendered() {
	scene plain "$@" --grade even --number 31 --rows 4 --columns 3 --width 1280 --height 960 \
		>/dev/null || exit 98
}

# quietly COMMAND...: run a command without its notes; faults are still said.
quietly() {
	"$@" 2>notes
	quietly_status=$?
	grep '^woad: ' notes >&2
	return $quietly_status
}

# demo_range: fill the inventory with the invented range.
demo_range() {
	woad import "$TESTIMAGES/demo-range.csv" 2>/dev/null || exit 98
}

# columns NAME...: print these columns of the CSV on standard input; no field may hold a comma.
columns() {
	awk -F, -v names="$*" 'NR == 1 { for (i = 1; i <= NF; i++) place[$i] = i; n = split(names, name, " ") }
		{ for (i = 1; i <= n; i++) printf "%s%s", $place[name[i]], i < n ? "," : "\n" }'
}

# readings LINE...: import readings of these lines under the header ink,L,a,b,u95,inked_at,taken,found.
readings() {
	echo "ink,L,a,b,u95,inked_at,taken,found" >readings.csv
	printf '%s\n' "$@" >>readings.csv
	woad import readings.csv 2>/dev/null || exit 98
}
DRY=",2026-04-01 10:00 Z,2026-04-05 10:00 Z,ink"
WET=",2026-04-01 10:00 Z,2026-04-01 10:10 Z,ink"
