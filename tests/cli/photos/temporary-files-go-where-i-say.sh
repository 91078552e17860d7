# $TMPDIR is where they lie; what is said when none can be made there is true.
TMPDIR=$PWD/missing woad measure --dry-run "$TESTIMAGES/seed-packets.jpg" 2>&1
echo "exit $?"
TMPDIR=$PWD/missing woad measure --dry-run "$TESTIMAGES/seed-packets.jpg" "$TESTIMAGES/pale-and-blank.jpg" 2>&1 |
	grep -c 'no temporary file can be made'
mkdir there
TMPDIR=$PWD/there woad measure --dry-run --format csv "$TESTIMAGES/seed-packets.jpg" "$TESTIMAGES/pale-and-blank.jpg" 2>/dev/null |
	grep -q ',ink,' && echo measured
ls there | wc -l
