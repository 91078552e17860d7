demo_range
printf 'ink\nPlum 34\nTomato 21\nGeranium 87\nCarrot 8\nPhysalis 80\nApricot 29\nMarigold 18\nCherry 3\nBeetroot 12\n' >own.csv
woad combine "carrot 8" --own own.csv --format csv 2>/dev/null | grep -c 'Carrot 8'
woad combine --own own.csv --count 2 --format csv 2>/dev/null >proposals.csv
wc -l <proposals.csv
grep -o '[A-Z][a-z]* [0-9][0-9]*' proposals.csv | grep -vxFf own.csv || echo 'of the inks owned alone'
woad combine "Pea 20" --own own.csv
printf 'Carot 8\n' >slip.csv
woad combine --own slip.csv
printf '\n' >none.csv
woad combine --own none.csv
woad combine --own nowhere.csv
