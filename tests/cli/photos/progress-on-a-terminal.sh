# A bar grows on a terminal and is gone in the end; elsewhere there is none.
one=$TESTIMAGES/sixteen-bits.png
python3 "$SOURCE/tests/cli/terminal.py" 90 woad measure --dry-run --format csv $one missing.jpg $one >rows
echo "exit status $?, $(wc -l <rows) lines"
tr '\r' '\n' <sent | grep -o '^\[[#.]*\] . of 3 photos done' | sort -u | wc -l
tr '\r' '\n' <sent | grep -o '^\[[#.]*\] 2 of 3 photos done, 1 failed, .* left' | head -1 | sed 's/about.*left/a while/; s/a few.*left/a while/'
grep -c 'photos done' screen
grep '^3 photos' screen
# a narrow terminal is not overrun
python3 "$SOURCE/tests/cli/terminal.py" 40 woad measure --dry-run --format csv $one $one >rows
tr '\r' '\n' <sent | grep '^\[' | awk '{ if (length($0) > 39) print "too long: " $0 }'
woad measure --dry-run --format csv $one $one 2>notes >rows
grep -c 'photos done' notes
# one photo needs no bar
python3 "$SOURCE/tests/cli/terminal.py" 90 woad measure --dry-run --format csv $one >rows
grep -c 'photos done' sent || :
