demo_range
printf 'ink,price\nJuniper 1,cheap\n' >cost.csv
woad cover --cost cost.csv
