# A new name that looks like a slip of a known one is refused, and nothing is added, until it is said
# to be meant; numbers make another ink.
readings "Beetroot 12,30,40,10,0.5$DRY"
printf 'ink,L,a,b\nBeetrot 12,31,40,10\n' >slip.csv
printf 'ink,L,a,b\nBeetroot 13,35,40,10\n' >next.csv
woad import slip.csv
woad import next.csv 2>/dev/null && woad inks --format csv | cut -d, -f1
woad import slip.csv --new-inks 2>/dev/null && woad inks --format csv | cut -d, -f1
# known now, it needs no option
sed 's/31,/32,/' slip.csv >known.csv && woad import known.csv 2>/dev/null && woad show "beetrot 12" --format csv 2>/dev/null | wc -l
