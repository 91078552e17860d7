# The first line on standard error is the verdict; --more tells the rest, and the table is the same.
photo=$TESTIMAGES/seed-packets.jpg
woad measure "$photo" --card before-2014-11 --dry-run 2>short >one || exit 97
woad measure "$photo" --card before-2014-11 --dry-run --more 2>long >two || exit 97
cmp one two
head -1 short | grep -o 'fit to measure'
head -1 long | grep -o 'fit to measure'
grep -c 'predicted from the others' short long
