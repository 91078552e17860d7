sheet=$TESTIMAGES/sixteen-bits
quietly woad measure $sheet.png --names $sheet.names.csv --chart spring --batch 'pad two' --paper laid >first || exit 97
quietly woad measure $sheet.png --names $sheet.names.csv --chart spring --batch 'pad 3' >second
woad forget photo sixteen-bits.png | sed "s,$TESTIMAGES,,"
woad inks --format csv | wc -l
# nothing of what was told wrongly is carried over
quietly woad measure $sheet.png --names $sheet.names.csv --chart spring --batch 'pad 3' >third && cmp first third
woad export | columns batch paper | sort | uniq -c | sed 's/^ *//'
woad undo >said && woad export | columns batch paper | sort | uniq -c | sed 's/^ *//'
