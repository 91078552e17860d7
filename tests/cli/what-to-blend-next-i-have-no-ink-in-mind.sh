demo_range
# each begins with another ink
woad combine --format csv 2>/dev/null >first.csv
wc -l <first.csv
# what was made is not proposed again, and other inks come first
woad combine --format csv --count 1 2>/dev/null | columns ink_1 ink_2 ink_3 | tail -1 >proposed
IFS=, read -r one two three <proposed
woad combinations add "$one" "$two" "$three" 2>/dev/null
woad combine --format csv --count 3 2>/dev/null | grep -c "$one.*$two.*$three"
woad combine --count 2 2>/dev/null | head -1
