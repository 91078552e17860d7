demo_range
woad sheet chart chart.pdf --rows 40 --columns 40
ls chart.pdf 2>/dev/null
exit 1
