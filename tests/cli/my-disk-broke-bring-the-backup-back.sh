readings "Beetroot 12,30,40,10,0.5$DRY" "Leek 14,50,-20,20,0.5$DRY"
woad combinations add "Beetroot 12" "Leek 14" >/dev/null 2>&1
woad rename "Leek 14" "Leek 15"
woad export >before.csv && woad history >before.history && woad combinations >before.log 2>/dev/null
woad inventory backup safe.db
cp safe.db same.db
woad inventory backup safe.db
# on another computer, where there is none
WOAD_INVENTORY=new/inventory.db woad inventory restore safe.db
export WOAD_INVENTORY=new/inventory.db
woad export | cmp - before.csv && woad history | cmp - before.history &&
	woad combinations 2>/dev/null | cmp - before.log && echo "all there"
# what is replaced is kept
woad forget ink "Leek 15" && woad export >later.csv
woad inventory restore safe.db 2>said
sed 's/copies.20[0-9]*-.*/copies, named by its time/' said
woad export | cmp - before.csv && echo "as backed up"
woad export --inventory "$(ls new/inventory.db.copies/* | tail -1)" | cmp - later.csv && echo "kept"
cmp safe.db same.db
