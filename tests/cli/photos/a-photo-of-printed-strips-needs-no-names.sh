# Strips that woad printed are read by their marks: which inks they blend, and in what shares.
readings "Barley 37,81.7,8.4,35.3,0.7$DRY" "Beetroot 12,45.1,59.6,20.6,0.7$DRY" "Borage 15,66.1,-35.2,-35.4,0.7$DRY"
woad combinations add "Beetroot 12" "Barley 37" 2>/dev/null && woad combinations add "Borage 15" "Barley 37" 2>/dev/null || exit
quietly woad sheet strip page.png --page a5 --rows 3 --date "2026-05-03 10:00" 2>/dev/null || exit
sed -i 's/made by woad/printed page/' page.png
# The first strip is blended, the second waits.
cat >inks.csv <<'END'
1,1,81.7,8.4,35.3
1,2,68,24,34
1,3,59,37,30
1,4,51,50,25
1,5,45.1,59.6,20.6
END
printed_photo "$WOAD_CALIBRATION/card24-from-2014-11.txt" photo.png page=page.png inks=inks.csv \
	rows=3 columns=5 flap=17 turns=2 >truth.csv || exit
sed -i 's/made by woad/photo of it./' photo.png
woad combinations measure photo.png --at "2026-05-04 10:00" --format csv 2>said >blends.csv || exit
tail -n +2 truth.csv >truth
tail -n +2 blends.csv | paste -d, - truth | awk -F, '
	{ if (($2 - $(NF - 2))^2 + ($3 - $(NF - 1))^2 + ($4 - $NF)^2 < 1) right++ }
	{ shares = shares " " $1 }
	END { print right " of " NR " within 1 of their colour, at" shares }'
grep -o "'.*' and '.*' blend" said
woad combinations measure photo.png 2>&1 | grep -c "in the inventory already"
