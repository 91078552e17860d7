readings "Beetroot Hem,30,40,10,0.5$DRY" "Leek Row,50,-20,20,0.5$DRY"
woad undo
woad export >before.csv
woad rename "Leek Row" "Leek Bed" && woad forget ink "Beetroot Hem"
woad history --format csv | cut -d, -f2
woad undo && woad undo && woad export | cmp - before.csv && echo "as it was"
woad history --format csv | columns change taken_back | sed "s,20.*,then,"
# what came in since may stand against it
woad rename "Leek Row" "Leek Bed"
sed 's/,50,/,48,/' readings.csv | grep -v Beetroot >anew.csv
woad import anew.csv 2>/dev/null
woad undo
