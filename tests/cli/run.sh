#!/bin/sh
# Run the command line's cases: tests/cli/run.sh BUILD [CASE.sh...]
#
# A case is NAME.sh; beside it stand what it must print (NAME.stdout, none: nothing), its exit
# status (NAME.exit, none: 0), and, where given, what it must say on standard error: all of it
# (NAME.stderr) or pieces, one a line, each of which must occur (NAME.says).
# Each case runs in a folder of its own, with an inventory of its own and `helpers.sh` read in.
# UNDER may name a folder with a `woad` that runs the program under another one.
# The cases in photos/ need the test images and the scene renderer; without them they wait.

here=$(cd "$(dirname "$0")" && pwd)
SOURCE=$(cd "$here/../.." && pwd)
BUILD=$(cd "$1" && pwd) || exit 2
shift
TESTIMAGES=${TESTIMAGES:-$SOURCE/testimages}
WOAD_CALIBRATION=$SOURCE/calibration
HELPERS=$here/helpers.sh
PATH=${UNDER:+$UNDER:}$BUILD:$PATH
TZ=UTC0
LC_ALL=C
export SOURCE BUILD TESTIMAGES WOAD_CALIBRATION HELPERS PATH TZ LC_ALL
unset XDG_DATA_HOME

folder=$(mktemp -d) || exit 2
trap 'rm -rf "$folder"' EXIT
trap 'exit 2' INT TERM
passed=0
failed=0

# check_says CASE: every line of CASE.says stands in what was said.
check_says() {
	[ -f "$1.says" ] || return 0
	while IFS= read -r piece; do
		grep -qF -e "$piece" "$folder/stderr" || { echo "    not said: $piece"; return 1; }
	done <"$1.says"
}

# check_same WHAT EXPECTED GOT
check_same() {
	cmp -s "$2" "$3" || { echo "    $1 differs:"; diff "$2" "$3" | sed 's/^/    /' | head -20; return 1; }
}

check_case() {
	expected=0
	[ -f "$1.exit" ] && expected=$(cat "$1.exit")
	ok=true
	[ "$2" = "$expected" ] || { echo "    exit status $2, not $expected"; ok=false; }
	if [ -f "$1.stdout" ]; then wanted=$1.stdout; else wanted=/dev/null; fi
	check_same "standard output" "$wanted" "$folder/stdout" || ok=false
	[ ! -f "$1.stderr" ] || check_same "standard error" "$1.stderr" "$folder/stderr" || ok=false
	check_says "$1" || ok=false
	$ok || sed 's/^/    said: /' "$folder/stderr" | head -5
	$ok
}

run_case() {
	rm -rf "$folder/run"
	mkdir "$folder/run"
	(
		cd "$folder/run" || exit 99
		HOME=$folder/run WOAD_INVENTORY=inventory.db
		export HOME WOAD_INVENTORY
		sh -c '. "$HELPERS"; . "$1"' sh "$1.sh" >"$folder/stdout" 2>"$folder/stderr" </dev/null
	)
	status=$?
	if report=$(check_case "$1" "$status"); then
		passed=$((passed + 1))
	else
		failed=$((failed + 1))
		printf 'failed: %s\n%s\n' "${1#"$here/"}" "$report"
	fi
}

if [ $# -eq 0 ]; then
	set -- "$here"/*.sh
	[ -d "$TESTIMAGES" ] && [ -x "$BUILD/scene" ] && set -- "$@" "$here"/photos/*.sh
fi
for file in "$@"; do
	case $file in
	*/run.sh | */helpers.sh) ;;
	/*) run_case "${file%.sh}" ;;
	*) run_case "$PWD/${file%.sh}" ;;
	esac
done
echo "$passed passed, $failed failed"
[ "$failed" -eq 0 ]
