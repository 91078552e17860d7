demo_range
printf 'Juniper 1,3\n' >cost.csv
woad cover --cost cost.csv --must 'Garlic 67'
