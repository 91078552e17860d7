# Told of its test page how a printer prints, sheets are drawn so that they come out where they belong:
# what is then printed so lies where it does without a printer, to a hundredth of a millimetre.
readings "Barley 37,81.7,8.4,35.3,0.7$DRY" "Beetroot 12,45.1,59.6,20.6,0.7$DRY"
woad sheet test test.pdf --duplex --date "2026-05-03 10:00" && pdfinfo test.pdf | grep Pages
woad printer "Hall printer" --left 31 --top 29.5 --width 99 --height 148.5 --back-left 32.5 --back-top 31 2>&1
woad printer --format csv
# places of the words of a page, in points
places() {
	pdftotext -bbox "$1" - | sed -n 's/.*xMin="\([0-9.]*\)" yMin="\([0-9.]*\)".*>\([A-Z][a-z]*\)<.*/\3 \1 \2/p'
}
date="2026-05-03 10:00"
for page in labels range; do
	woad sheet $page true.pdf --date "$date" && woad sheet $page drawn.pdf --date "$date" --printer "hall PRINTER" || exit
	places true.pdf >true
	places drawn.pdf | paste -d ' ' - true | awk -v page=$page '
		{ x = 0.99 * $2 + 1.3 * 72 / 25.4; y = 0.99 * $3 - 0.2 * 72 / 25.4 }
		($1 == $4) && (x - $5)^2 + (y - $6)^2 < 0.03^2 { right++ }
		END { print page ": " (NR > 1 && right == NR ? "all in their place" : right + 0 " of " NR) }'
done
woad sheet labels drawn.pdf --printer Kitchen
echo "$?"
woad printer "Hall printer" --forget && woad printer --format csv
