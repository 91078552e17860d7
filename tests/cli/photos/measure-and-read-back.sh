# A photo is measured, and what was read is in the inventory under the inks' names.
sheet=$TESTIMAGES/sixteen-bits
woad measure $sheet.png --names $sheet.names.csv --chart spring --batch 'pad two' --more --format csv >measured.csv || exit 97
head -1 measured.csv
cut -d , -f 2-5 measured.csv
woad inks --format csv | columns ink taken readings swatches | head -3
woad show 'Celery 27' --format csv 2>/dev/null | columns chart cell batch found
# inks and export say the same colours as measure, to their decimals
sed 1d measured.csv | cut -d , -f 4,6,7,8 | sort >one
woad inks --format csv | columns ink L a b | sed 1d | sort >two
cmp one two
