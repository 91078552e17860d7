demo_range
woad order --sheet 8x8 --write sheet.csv >/dev/null 2>&1
cp sheet.csv before
woad order sheet.csv --write sheet.csv
cmp sheet.csv before && echo "the sheet is as it was"
woad order --sheet 8x8 --write sheet.txt
