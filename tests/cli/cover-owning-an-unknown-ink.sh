demo_range
echo 'Wet Slat' >own.csv
woad cover --own own.csv
