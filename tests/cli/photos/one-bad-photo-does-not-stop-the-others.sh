quietly woad measure --format csv missing.jpg $TESTIMAGES/sixteen-bits.png >rows
echo "$? and $(wc -l <rows) lines"
woad export | wc -l
