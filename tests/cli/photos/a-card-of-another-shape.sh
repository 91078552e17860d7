# A card of 5 rows of 6 invented colours, its greys not in the last row, is read by its own file.
rendered photo --edition invented
{
	printf 'CGATS.17\nDESCRIPTOR "Thistlewick card"\nKEYWORD "CARD_COLUMNS"\nCARD_COLUMNS 6\n'
	printf 'NUMBER_OF_FIELDS 4\nBEGIN_DATA_FORMAT\nSAMPLE_ID LAB_L LAB_A LAB_B\nEND_DATA_FORMAT\n'
	printf 'NUMBER_OF_SETS 30\nBEGIN_DATA\n'
	awk -F, '$1 == "patch" { print $4, $8, $9, $10 }' photo.truth.csv
	echo END_DATA
} >own-card.txt
woad measure photo.jpg --card own-card.txt --names photo.names.csv --check check.png --dry-run --format csv >cells.csv || exit
awk -F, 'NR == FNR { if ($1 == "cell") { L[$2, $3] = $8; a[$2, $3] = $9; b[$2, $3] = $10 }; next }
	FNR > 1 { off = sqrt(($6 - L[$2, $3])^2 + ($7 - a[$2, $3])^2 + ($8 - b[$2, $3])^2); sum += off; cells++ }
	END { print cells " cells, on average within 2 of the truth (CIE 1976): " (sum / cells < 2 ? "yes" : sum / cells) }' \
	photo.truth.csv cells.csv
woad card --check photo.jpg --card own-card.txt --picture card.png | grep -o '30 of 30 patches used'
ls check.png card.png
refused woad measure photo.jpg
