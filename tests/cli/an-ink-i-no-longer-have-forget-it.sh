readings "Beetroot Hem,30,40,10,0.5$DRY" "Leek Row,50,-20,20,0.5$DRY"
woad export >before.csv
woad forget ink "Leek Row"
woad inks --format csv | cut -d, -f1
woad export | grep -c "Leek Row"
woad near --pairs 2>&1 | grep -c "Leek Row"
woad show "Leek Row"
woad forget ink "Leek Rwo"
woad undo && woad export | cmp - before.csv && echo "all there again"
# measured anew, it is an ink again, with nothing of what was forgotten
woad forget ink "Leek Row"
sed 's/Leek Row,50/Leek Row,49/' readings.csv | grep -v Beetroot >anew.csv
woad import anew.csv 2>/dev/null
woad show "Leek Row" --format csv | wc -l
woad undo && woad show "Leek Row" --format csv | wc -l
