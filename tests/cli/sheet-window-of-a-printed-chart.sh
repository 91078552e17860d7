demo_range
woad sheet chart chart.pdf --rows 5 --columns 4 2>/dev/null || exit
woad sheet window window.svg --number 2 || exit
[ "$(grep -c '<path' window.svg)" -gt 20 ] && echo "as many windows as cells and more lines"
woad sheet window window.svg --number 99
