demo_range
printf 'ink,price\nWet Slate,cheap\n' >cost.csv
woad cover --cost cost.csv
