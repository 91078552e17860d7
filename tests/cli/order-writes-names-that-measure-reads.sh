demo_range
woad order --sheet 5x7 --write sheets.csv >/dev/null 2>&1
cat sheets-1.csv sheets-2.csv
woad order sheets-1.csv sheets-2.csv | sed -n "/^Against/p"
