sheet=$TESTIMAGES/sixteen-bits
quietly woad measure $sheet.png --names $sheet.names.csv >one || exit 97
quietly woad measure $sheet.png --names $sheet.names.csv
echo "then $?"
cp $sheet.png copy.png
quietly woad measure copy.png
echo "a copy by another name $?"
quietly woad measure --again $sheet.png --names $sheet.names.csv >two || exit 97
cmp one two
woad export | cut -d , -f 18 | sort | uniq -c | sed 's/^ *//'
