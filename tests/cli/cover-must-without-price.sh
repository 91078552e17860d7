demo_range
printf 'Wet Slate,3\n' >cost.csv
woad cover --cost cost.csv --must 'Cold Frame'
