# An inventory may bear any name, a picture's too.
demo_range
mv inventory.db range.png
WOAD_INVENTORY=range.png
cksum <range.png >before
woad combine "Anchusa 82" --count 2 --picture range.png
woad combinations forecast "Anchusa 82" "Cowslip 77" --picture range.png
woad combine "Anchusa 82" --count 2 --picture range.db
cksum <range.png | cmp - before && echo "not a byte has changed"
