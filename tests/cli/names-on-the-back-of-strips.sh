# Names of a strip stand behind its cells when the paper is turned over its long edge, upright or lying,
# and where the printer puts its backs.
readings "Barley 37,81.7,8.4,35.3,0.7$DRY" "Beetroot 12,45.1,59.6,20.6,0.7$DRY"
woad printer Hall --left 30 --top 30 --width 100 --height 150 --back-left 33 --back-top 29 2>/dev/null
middles() { # of the words on the back: the ink's first, from the paper's left and upper edge, mm
	pdftotext -f 2 -l 2 -bbox "$1" - |
		sed -n 's/.*xMin="\([0-9.]*\)" yMin="\([0-9.]*\)" xMax="\([0-9.]*\)" yMax="\([0-9.]*\)">\(Barley\|Beetroot\)<.*/\5 \1 \2 \3 \4/p' |
		awk '{ printf "%s %.1f %.1f\n", $1, ($2 + $4) / 2 * 25.4 / 72, ($3 + $5) / 2 * 25.4 / 72 }'
}
for way in "" --landscape; do
	woad sheet strip strips.pdf "Barley 37" "Beetroot 12" --duplex $way --date "2026-05-03 10:00" 2>/dev/null || exit
	pdftotext -f 1 -l 1 strips.pdf - | grep -c Barley
	middles strips.pdf
	woad sheet strip shifted.pdf "Barley 37" "Beetroot 12" --duplex $way --printer Hall --date "2026-05-03 10:00" 2>/dev/null
	middles shifted.pdf
done
