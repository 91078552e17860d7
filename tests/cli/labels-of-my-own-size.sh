# Labels are kept by a name of the person's own; a page begun before goes on where told.
readings "Barley 37,81.7,8.4,35.3,0.7$DRY" "Beetroot 12,45.1,59.6,20.6,0.7$DRY" "Borage 15,66.1,-35.2,-35.4,0.7$DRY"
woad stock Jars --label 40x30 --rows 2 --columns 2 --gap 10x20 --margin 20x25 --page a5 2>&1
woad stock --format csv | tail -n 1
woad sheet labels labels.pdf --stock JARS --start 3 --plain --date "2026-05-03 10:00" || exit
pdfinfo labels.pdf | grep Pages
for page in 1 2; do # the labels' middles, by the words on them, mm
	pdftotext -f $page -l $page -bbox labels.pdf - | sed -n 's/.*xMin="\([0-9.]*\)".*xMax="\([0-9.]*\)".*>\([0-9]*\)<.*/\3 \1 \2/p' |
		awk -v page=$page '{ printf "page %d: %s at %.0f\n", page, $1, $3 * 25.4 / 72 }'
done
says() { woad "$@" 2>&1 >/dev/null | sed 's/^woad: //'; }
says stock Wide --label 80x30 --rows 2 --columns 3
says stock Thick --label 40x30 --rows 2 --columns 2 --gap=-1x0
says stock 70x37 --label 40x30 --rows 2 --columns 2
says stock "" --label 40x30 --rows 2 --columns 2
says stock Few --label 40x30
says sheet labels labels.pdf --stock Pots
says sheet labels labels.pdf --stock Jars --start 5
woad stock jars --forget && says stock jars --forget
