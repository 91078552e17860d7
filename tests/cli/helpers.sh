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
