#!/bin/sh
# A person's way through the page in a headless Chromium: tests/browser/run.sh BUILD [SHOTS]
#
# playwright-core and axe-core, from npm and only for this, drive Debian's chromium and look for what
# shuts people out. SHOTS: a folder that gets pictures of the views at three widths, light and dark,
# to be looked at.
set -eu
here=$(cd "$(dirname "$0")" && pwd)
build=$(cd "$1" && pwd)
shots=${2:-}
photo=$here/../../testimages/seed-packets
WOAD_CALIBRATION=$here/../../calibration
export WOAD_CALIBRATION

mkdir -p "$build/browser"
cd "$build/browser"
[ -d node_modules/axe-core ] || npm install --silent --no-save playwright-core axe-core >npm.log 2>&1 || {
	cat npm.log
	exit 1
}
NODE_PATH=node_modules
export NODE_PATH
page=
trap '[ -z "$page" ] || kill "$page" 2>/dev/null || :' EXIT

# open INVENTORY: the page on it; its address goes to the file `address`
open() {
	[ -z "$page" ] || kill "$page"
	rm -f address
	"$build/woad" page --no-browser --phone-on 127.0.0.1 --inventory "$1" >address 2>said &
	page=$!
	for _ in 1 2 3 4 5 6 7 8 9 10; do
		[ -s address ] && break
		sleep 0.3
	done
}

rm -rf inventory.db* range.db*
[ -z "$shots" ] || mkdir -p "$shots"
failed=0
open inventory.db
node "$here/day.js" "$(cat address)" "$photo.jpg" "$photo.names.csv" "$shots" || failed=1
"$build/woad" import "$here/range.csv" --new-inks --inventory range.db 2>said
"$build/woad" combinations add "Radish 4" "Leek 3" "Plum 34" --inventory range.db 2>said
open range.db
node "$here/everyone.js" "$(cat address)" "$build/woad" range.db || failed=1
exit "$failed"
