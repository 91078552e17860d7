readings "Beetroot 12,30,40,10,0.5$DRY" "Leek 14,50,-20,20,0.5$DRY"
woad combinations add "Beetroot 12" "Leek 14" 2>/dev/null
woad inventory backup safe.db
woad export >readings-only.csv
WOAD_INVENTORY=new.db
woad import safe.db
status=$?
ls new.db 2>/dev/null
exit $status
