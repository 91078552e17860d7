readings "Beetroot 12,30,40,10,0.5$DRY" "Leek 14,50,-20,20,0.5$DRY"
woad export >before.csv
mkdir disk
woad inventory move disk/inks.db 2>said
sed 's/copies.20[0-9-]*.db/copies, named by its time/' said
woad export --inventory disk/inks.db | cmp - before.csv && echo "all there"
woad export --inventory inventory.db.copies/* | cmp - before.csv && echo "and kept"
ls -d inventory.db*
# nothing is moved onto what is there, and nothing that is not there
woad inventory move said --inventory disk/inks.db
woad export --inventory disk/inks.db | cmp - before.csv && echo "still there"
woad inventory move elsewhere.db
