# The whole day: measure, mistake, mend, compare, choose, combine, back up, move. Words and counts are
# told here; how good the colours are is for other tests.
sheet=$TESTIMAGES/seed-packets
said() { "$@" 2>notes || { echo "not done: $*"; cat notes; exit 97; }; }
inks() { woad inks --format csv | columns ink | sed 1d; }

echo "== measure, for the wrong edition of the card and with a name mistyped"
sed 's/Celery 27/Celry 27/' $sheet.names.csv >names.csv
said woad measure $sheet.jpg --names names.csv --chart spring --batch 'pad 1' >first
grep -o 'measure again with.*' notes

echo "== mend"
said woad measure $sheet.jpg --names names.csv --chart spring --batch 'pad 1' --again --card before-2014-11 >second
cmp -s first second || echo "other colours"
woad rename 'Celry 27' 'Celery 27'
woad amend chart spring --batch 'pad 2' --paper 'laid' --inked-at '2026-05-01 09:00 Z'
woad forget ink 'Salsify 56'
woad undo
woad export | columns batch paper | sed 1d | sort | uniq -c | sed 's/^ *//'
woad history | wc -l
tr ',' '\n' <$sheet.names.csv | sort >wanted
inks | sort | cmp - wanted && echo "every ink by its name"

echo "== compare"
woad compare 'Medlar 44' 'Rye 59' >compared 2>&1
echo "exit $?"
grep -c different compared

echo "== choose"
printf 'Ink;Price\n' >prices.csv
inks | sed 's/$/;3,50/' >>prices.csv
woad near 'Chilli 35' --format csv 2>/dev/null | columns ink | sed -n 2p
said woad cover --count 6 --cost prices.csv >cover && grep -o 'Buy 6 for [0-9.]*' cover

echo "== combine"
said woad combine 'Apricot 29' --format csv >proposed && [ -s proposed ] && echo "proposals"
woad combinations add 'Mustard 11' 'Apricot 29' 2>&1
woad combinations add 'Mustard 11' 'Apricot 29'
woad combinations add 'Medlar 44' 'Turnip 26' 2>&1
woad forget combination 2
woad combinations --since 2026-01-01 --format csv 2>/dev/null | sed 1d | wc -l
woad combinations --without --format csv 2>/dev/null | sed 1d | wc -l

echo "== back up, lose it, bring it back, move"
woad export >before.csv 2>notes
woad combinations >before.log 2>/dev/null
woad history >before.history
woad inventory backup safe.db
rm inventory.db
said woad inventory restore safe.db
mkdir disk && said woad inventory move disk/inks.db
WOAD_INVENTORY=disk/inks.db
woad export 2>/dev/null | cmp - before.csv && woad history | cmp - before.history &&
	woad combinations 2>/dev/null | cmp - before.log && echo "all there"
