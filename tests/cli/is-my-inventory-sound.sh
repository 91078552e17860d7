readings "Beetroot 12,30,40,10,0.5$DRY" "Leek 14,50,-20,20,0.5$DRY"
woad inventory verify
sqlite3 inventory.db "DELETE FROM ink WHERE name = 'Leek 14'"
woad inventory verify || woad inventory backup safe.db
ls *.db
