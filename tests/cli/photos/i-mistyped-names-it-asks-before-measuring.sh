# A slip in an ink's name, the chart's or the batch's is told before any photo is measured, and
# nothing is stored; the same names in capitals are the same inks.
sheet=$TESTIMAGES/sixteen-bits
quietly woad measure $sheet.png --names $sheet.names.csv --chart "spring sheet" --batch "pad two" >/dev/null
sed 's/Celery 27/Cellery 27/' $sheet.names.csv >slip.csv
woad measure $sheet.png --names slip.csv --chart "spring sheet" --again || echo $?
woad measure $sheet.png --names $sheet.names.csv --chart "sprnig sheet" --again || echo $?
woad measure $sheet.png --names $sheet.names.csv --chart "spring sheet" --batch "pda two" --again || echo $?
woad measure missing.png --names slip.csv --dry-run || echo $?
tr a-z A-Z <$sheet.names.csv >capitals.csv
quietly woad measure $sheet.png --names capitals.csv --chart "Spring Sheet" --batch "Pad Two" --again >/dev/null
woad inks --format csv | columns ink readings swatches | head -3
woad export --format csv | columns chart batch | sort -u
quietly woad measure $sheet.png --names slip.csv --chart "sprnig sheet" --batch "pda two" --new-inks --new-chart --new-batch --again >/dev/null
woad export --format csv | columns chart batch | sort -u
