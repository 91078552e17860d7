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

if [ $# -eq 0 ]; then
	[ -d "$TESTIMAGES" ] && [ -x "$BUILD/scene" ] && set -- "$here"/photos/*.sh
	set -- "$@" "$here"/*.sh
fi
for file in "$@"; do
	case $file in
	*/run.sh | */case.sh | */helpers.sh) ;;
	/*) echo "$file" ;;
	*) echo "$PWD/$file" ;;
	esac
done | sh "$SOURCE/tests/each.sh" sh "$here/case.sh"
