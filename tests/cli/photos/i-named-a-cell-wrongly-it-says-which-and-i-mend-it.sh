# A naming that gives a cell another ink than it held says which, and the names can be told anew.
sheet=$TESTIMAGES/sixteen-bits
sed 's/Celery 27/Pumpkin 9/' $sheet.names.csv >wrong.csv
quietly woad measure $sheet.png --names $sheet.names.csv --chart spring >/dev/null
quietly woad measure $sheet.png --names wrong.csv --chart spring --again >/dev/null
grep -o "B3 held .*" notes
woad amend chart spring --names $sheet.names.csv
woad inks --format csv 2>/dev/null | cut -d, -f1 | grep -c -e Celery -e Pumpkin
woad export | columns ink row column | grep 2,3
woad undo && woad export | columns ink row column | grep 2,3
sed 's/Celery 27/Cellery 27/' $sheet.names.csv >slip.csv
woad amend chart spring --names slip.csv
head -2 $sheet.names.csv >short.csv && woad amend photo sixteen-bits.png --names short.csv
woad history --format csv | wc -l
