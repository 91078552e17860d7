# Each combination logged is a strip: from its lighter end, with its blends between; one can be named, too.
readings "Barley 37,81.7,8.4,35.3,0.7$DRY" "Beetroot 12,45.1,59.6,20.6,0.7$DRY" "Borage 15,66.1,-35.2,-35.4,0.7$DRY"
woad sheet strip none.pdf; echo "without a log: $?"
woad combinations add "Beetroot 12" "Barley 37" 2>/dev/null
woad combinations add "Borage 15" "Beetroot 12" "Barley 37" 2>/dev/null
woad sheet strip strips.pdf --date "2026-05-03 10:00" 2>&1
pdftotext -layout strips.pdf - | grep -E "[A-Z][a-z]+ [0-9][0-9]" | grep -v sheet | sed 's/  */ /g; s/^ //; s/ $//'
pdftotext -layout strips.pdf - | grep -oE "[13] *: *[13]" | wc -l
pdffonts strips.pdf | tail -n +3 | awk '{ print $(NF - 4) }' | sort -u
woad sheet strip one.svg "Barley 37" "Borage 15" --page letter 2>&1
woad sheet strip two.svg "Barley 37"; echo "of one ink: $?"
woad sheet strip two.svg "Barley 37" "Bramble 1"; echo "of an ink that is none: $?"
