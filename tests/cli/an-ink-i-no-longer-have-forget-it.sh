readings "Beetroot 12,30,40,10,0.5$DRY" "Leek 14,50,-20,20,0.5$DRY"
woad export >before.csv
woad forget ink "Leek 14"
woad inks --format csv | cut -d, -f1
woad export | grep -c "Leek 14"
woad near --pairs 2>&1 | grep -c "Leek 14"
woad show "Leek 14"
woad forget ink "Leek 1"
woad undo && woad export | cmp - before.csv && echo "all there again"
# measured anew, it is an ink again, with nothing of what was forgotten
woad forget ink "Leek 14"
sed 's/Leek 14,50/Leek 14,49/' readings.csv | grep -v Beet >anew.csv
woad import anew.csv 2>/dev/null
woad show "Leek 14" --format csv | wc -l
woad undo && woad show "Leek 14" --format csv | wc -l
