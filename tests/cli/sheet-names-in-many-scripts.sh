printf 'Beetroot 12,%s,%s\n%s,%s,\n' "Κρεμμύδι 4" "豆 7" "بصل 3" "A name far too long for any cell however hard it tries" >names.csv
woad sheet chart chart.svg --names names.csv --date "2026-05-22 12:00 Z" 2>/dev/null || exit
woad sheet labels labels.svg --names names.csv || exit
ls ./*.svg
