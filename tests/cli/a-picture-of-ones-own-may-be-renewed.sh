demo_range
for mood in contrast tonal; do
	woad combine "Anchusa 82" --mood $mood --count 2 --picture strips.png >/dev/null 2>&1 || exit 97
	cksum strips.png
done | sort -u | wc -l | tr -d ' '
woad measure strips.png
