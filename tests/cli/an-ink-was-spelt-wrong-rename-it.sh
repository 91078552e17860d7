readings "Beetroot Hen,30,40,10,0.5$DRY" "Leek Row,50,-20,20,0.5$DRY"
woad rename "Beetroot Hen" "Beetroot Hem" && woad inks --format csv | cut -d, -f1
woad rename "Leek Row" "Beetroot Hem"
woad rename "Leek Ro" "Leek Rows"
