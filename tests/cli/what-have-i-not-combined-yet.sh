demo_range
woad combinations add "Beetroot 12" "Chard 79" "Carrot 8" --at "2026-03-01 10:00" 2>/dev/null
woad combinations add "Radish 4" "Quince 24" --at "2026-05-01 10:00" 2>/dev/null
# the same inks in another order are the same combination
woad combinations add "Chard 79" "Carrot 8" "BEETROOT 12"
woad combinations add "Chard 79" "Carrot 8" "Beetroot 12" --again --at "2026-06-01 10:00" 2>/dev/null
woad combinations --since 2026-04-01 --format csv | cut -d, -f1-5
woad combinations --without --format csv | wc -l
woad combinations --without --since 2026-04-01 --format csv | grep -c 'Beetroot 12\|Radish 4'
# one by mistake
woad forget combination 2
woad combinations --format csv | cut -d, -f1
woad combinations --without --format csv | grep -c 'Radish 4'
woad forget combination 7
woad undo && woad combinations --format csv | cut -d, -f1
