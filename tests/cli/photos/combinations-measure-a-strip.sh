# three cells of a sheet in colour order stand for a strip: the middle one may pass for a blend
scene plain sheet --grade even --number 31 --rows 5 --columns 10 --palette order --blank 0 --width 1600 --height 1200 >/dev/null
corner() { awk -F, -v c="$1" -v k="$2" '$1 == "cell_corner" && $2 == 1 && $3 == c && $4 == k { printf "%s,%s", $6, $7 }' sheet.truth.csv; }
ink() { awk -F, -v c="$1" '$1 == "cell" && $2 == 1 && $3 == c { print $4 "," $8 "," $9 "," $10 ",1" ENVIRON["DRY"] }' sheet.truth.csv; }
export DRY
readings "$(ink 5)" "$(ink 7)"
strip() {
	woad combinations measure sheet.jpg "$@" --rows 1 \
		--chart-at "$(corner 5 1),$(corner 7 2),$(corner 7 3),$(corner 5 4)"
}
strip "Rhubarb 9" "Cherry 3" --dry-run | sed -n 's/: off by.*//p'
strip "Cherry 3" "Rhubarb 9" | sed -n 's/: off by.*//p'
strip "Rhubarb 9" "Cherry 3" || echo "refused: $?"
woad combinations forecast "Rhubarb 9" "Cherry 3" --format csv | cut -d, -f1-3,16
