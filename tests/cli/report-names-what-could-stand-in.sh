# Of three alike and one far off: each of the three names the two others, nearest first; the one its nearest alone.
printf 'ink,L,a,b\nBeet 1,40,50,20\nBeet 2,41,50,20\nBeet 3,43,50,20\nPea 1,60,-40,40\n' >alike.csv
woad import alike.csv 2>/dev/null || exit
woad report range.html 2>/dev/null || exit
tr -d '\n' <range.html | sed 's/<article/\n<article/g' | sed -n 's/.*<h3>\([^<]*\)<.*/\1: &/p' |
	sed 's/<span>\([^<]*\)<br>/\n  \1\n/g' | sed -n 's/^\(\(Beet\|Pea\) [0-9]\): .*/\1/p; s/^  /  /p'
