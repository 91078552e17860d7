demo_range
woad sheet chart one.pdf --date "2026-05-22 12:00 Z" --title "Seed packets" || exit
cp inventory.db kept.db
rm inventory.db
demo_range
woad sheet chart two.pdf --date "2026-05-22 12:00 Z" --title "Seed packets" || exit
cmp one.pdf two.pdf && echo "the same bytes"
woad sheet chart three.pdf --date "2026-05-22 12:00 Z" --title "Seed packets" || exit
cmp -s one.pdf three.pdf || echo "printed again it has numbers of its own"
head -c 8 one.pdf
