#!/bin/sh
# A person's way through the page in a headless Chromium: tests/browser/run.sh BUILD [SHOTS]
#
# playwright-core, from npm and only for this, drives Debian's chromium. SHOTS: a folder that gets
# pictures of the views at three widths, light and dark, to be looked at.
set -eu
here=$(cd "$(dirname "$0")" && pwd)
build=$(cd "$1" && pwd)
shots=${2:-}
photo=$here/../../testimages/seed-packets
WOAD_CALIBRATION=$here/../../calibration
export WOAD_CALIBRATION

mkdir -p "$build/browser"
cd "$build/browser"
[ -d node_modules/playwright-core ] || npm install --silent --no-save playwright-core >npm.log 2>&1 || {
	cat npm.log
	exit 1
}
rm -rf inventory.db* address
"$build/woad" page --no-browser --phone-on 127.0.0.1 --inventory inventory.db >address 2>said &
page=$!
trap 'kill "$page" 2>/dev/null || :' EXIT
for _ in 1 2 3 4 5 6 7 8 9 10; do
	[ -s address ] && break
	sleep 0.3
done
[ -z "$shots" ] || mkdir -p "$shots"
NODE_PATH=node_modules node "$here/day.js" "$(cat address)" "$photo.jpg" "$photo.names.csv" "$shots"
