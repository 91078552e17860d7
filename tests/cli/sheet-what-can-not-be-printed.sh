# Nothing is printed, and what is said tells what would do.
demo_range
try() {
	woad sheet "$@" 2>&1
	echo "exit $?"
}
try chart chart.pdf --page 20x20
try chart chart.pdf --page a9
try chart chart.pdf --cell 195
try chart chart.pdf --card-place 400x65
try window window.pdf --rows 30 --columns 2 --page a5
try chart nowhere/chart.pdf
mkdir taken.pdf
try range taken.pdf
try labels labels.pdf --stock 1x1
try labels labels.pdf --page a5
try labels labels.pdf --stock 70x37 --landscape
try labels labels.pdf --stock 70x37 --page a4 && rm labels.pdf
try labels labels.pdf --start 22
try chart chart.pdf --printer attic
try strip strip.pdf "Barley 37" "Bramble 1"
try poster poster.pdf
ls
