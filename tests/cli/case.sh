#!/bin/sh
# Run one case of the command line in a folder of its own: tests/cli/case.sh CASE.sh
#
# run.sh says what a case is, and sets the environment.
case=${1%.sh}
name=${case#"${HELPERS%/*}/"}
folder=$(mktemp -d) || exit 2
trap 'rm -rf "$folder"' EXIT
trap 'exit 2' INT TERM

# check_says: every line of CASE.says stands in what was said.
check_says() {
	[ -f "$case.says" ] || return 0
	while IFS= read -r piece; do
		grep -qF -e "$piece" "$folder/stderr" || { echo "    not said: $piece"; return 1; }
	done <"$case.says"
}

# check_same WHAT EXPECTED GOT
check_same() {
	cmp -s "$2" "$3" || { echo "    $1 differs:"; diff "$2" "$3" | sed 's/^/    /' | head -20; return 1; }
}

# check_case STATUS
check_case() {
	expected=0
	[ -f "$case.exit" ] && expected=$(cat "$case.exit")
	ok=true
	[ "$1" = "$expected" ] || { echo "    exit status $1, not $expected"; ok=false; }
	if [ -f "$case.stdout" ]; then wanted=$case.stdout; else wanted=/dev/null; fi
	check_same "standard output" "$wanted" "$folder/stdout" || ok=false
	[ ! -f "$case.stderr" ] || check_same "standard error" "$case.stderr" "$folder/stderr" || ok=false
	check_says || ok=false
	$ok || sed 's/^/    said: /' "$folder/stderr" | head -5
	$ok
}

mkdir "$folder/run"
(
	cd "$folder/run" || exit 99
	HOME=$folder/run WOAD_INVENTORY=inventory.db
	export HOME WOAD_INVENTORY
	sh -c '. "$HELPERS"; . "$1"' sh "$case.sh" >"$folder/stdout" 2>"$folder/stderr" </dev/null
)
if report=$(check_case $?); then
	echo "1 passed, 0 failed"
else
	printf 'failed: %s\n%s\n0 passed, 1 failed\n' "$name" "$report"
fi
