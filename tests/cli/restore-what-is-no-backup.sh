readings "Beetroot 12,30,40,10,0.5$DRY"
woad export >before.csv
woad inventory restore none.db
woad inventory restore none.db --inventory other.db || ls other.db 2>/dev/null
woad inventory restore readings.csv
woad inventory restore inventory.db
sqlite3 letters.db "CREATE TABLE letters (text)"
woad inventory restore letters.db
woad inventory backup newer.db >/dev/null && sqlite3 newer.db "PRAGMA user_version = 1000"
woad inventory restore newer.db
# a backup with a hole in it
woad inventory backup torn.db >/dev/null && sqlite3 torn.db "DELETE FROM ink"
woad inventory restore torn.db
woad inventory backup holed.db >/dev/null
dd if=/dev/zero of=holed.db bs=4096 seek=2 count=2 conv=notrunc 2>/dev/null
woad inventory restore holed.db 2>said || grep -o "holed.db: the file is damaged" said
woad inventory resture newer.db
woad inventory restore
woad export | cmp - before.csv && ls inventory.db* | grep -c before
