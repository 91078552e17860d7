# "Show me the whole range in order, as a picture."
demo_range
woad order --picture order.png >/dev/null && head -c 4 order.png | tail -c 3
echo
woad order --slot "Beetroot 12" --picture order.png sheet.csv
