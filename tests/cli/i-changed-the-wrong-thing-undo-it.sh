readings "Beetroot 12,30,40,10,0.5$DRY" "Leek 14,50,-20,20,0.5$DRY"
woad undo
woad export >before.csv
woad rename "Leek 14" "Leek 15" && woad forget ink "Beetroot 12"
woad history --format csv | cut -d, -f2
woad undo && woad undo && woad export | cmp - before.csv && echo "as it was"
woad history --format csv | columns change taken_back | sed "s,20.*,then,"
# what came in since may stand against it
woad rename "Leek 14" "Leek 15"
sed 's/,50,/,48,/' readings.csv | grep -v Beet >anew.csv
woad import anew.csv 2>/dev/null
woad undo
