readings "Beetroot Hem,30,40,10,0.5$DRY" "Leek Row,50,-20,20,0.5$DRY"
woad inventory verify
sqlite3 inventory.db "DELETE FROM ink WHERE name = 'Leek Row'"
woad inventory verify || woad inventory backup safe.db
ls *.db
