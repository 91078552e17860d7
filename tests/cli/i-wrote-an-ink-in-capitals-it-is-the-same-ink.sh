# The same name in another case, with other spaces, or with its accent coded apart, is the same ink.
readings "Leek 14,50,-20,20,0.5$DRY" "$(printf 'Caf\303\251 3'),20,10,10,0.5$DRY"
printf 'ink,L,a,b,taken\n  LEEK  14 ,50,-20,21,2026-04-06 10:00 Z\n%s,20,10,11,2026-04-06 10:00 Z\n' \
	"$(printf 'cafe\314\201 3')" >more.csv
woad import more.csv && woad inks --format csv | columns ink readings
woad show "leek 14" --format csv | wc -l
woad near "leek  14" --format csv 2>/dev/null | columns ink
woad rename "LEEK 14" "leek 14" && woad inks --format csv | cut -d, -f1
woad forget ink "LEEK 14"
