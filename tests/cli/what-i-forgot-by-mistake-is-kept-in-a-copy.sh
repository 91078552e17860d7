readings "Beetroot 12,30,40,10,0.5$DRY" "Leek 14,50,-20,20,0.5$DRY"
mkdir inventory.db.copies
for day in 01 02 03 04 05; do touch "inventory.db.copies/2020-01-$day-120000.db"; done
touch "inventory.db.copies/my own.db"
woad forget ink "Beetrot 12"
ls inventory.db.copies | wc -l
woad forget ink "Beetroot 12"
# the newest three stay however old they are, and what is not woad's stays too
ls inventory.db.copies | sed 's/^20[3-9].*\|^202[1-9].*/of today/'
woad inks --format csv --inventory inventory.db.copies/202[1-9]* | cut -d, -f1
