demo_range
echo 'Junipr 1' >own.csv
woad cover --own own.csv
