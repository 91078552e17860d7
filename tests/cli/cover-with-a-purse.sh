demo_range
printf 'ink\nJuniper 1\nGarlic 67\n' >own.csv
woad export | sed 1d | cut -d, -f1 | sort -u | awk '{ print $0 "," 2 + length($0) % 5 ".50" }' >cost.csv
woad cover --within 16 --own own.csv --cost cost.csv --must 'Viola 2' --never 'Redcurrant 40' --never 'Beetroot 12'
