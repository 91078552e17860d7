# Whoever asks learns when nothing came of it: no command says it is fine with its output closed or full.
demo_range
ink=$(woad inks --format csv | sed -n '2s/,.*//p')
for command in help version inks "show $ink" "near $ink" "export" "order" "cover" "combine $ink" "drying $ink" \
	combinations card; do
	set -- $command
	[ $# -eq 1 ] || set -- "$1" "$ink"
	woad "$@" >&- 2>said
	closed=$?
	woad "$@" >/dev/full 2>>said
	echo "$1: closed $closed, full $?, said $(grep -c "^woad: standard output can't be written" said)"
done
