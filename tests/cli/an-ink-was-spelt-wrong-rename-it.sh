readings "Beetrot 12,30,40,10,0.5$DRY" "Leek 14,50,-20,20,0.5$DRY"
woad rename "Beetrot 12" "Beetroot 12" && woad inks --format csv | cut -d, -f1
woad rename "Leek 14" "Beetroot 12"
woad rename "Lek 14" "Leek 13"
