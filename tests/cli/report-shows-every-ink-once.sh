demo_range
woad report range.html --date "2026-05-22 12:00 Z" --title "Seed packets" || exit
woad report again.html --date "2026-05-22 12:00 Z" --title "Seed packets" || exit
cmp range.html again.html
grep -c "<article id=\"ink-" range.html
grep -c "<li><a href=\"#ink-[0-9]*\"><svg class=\"swatch\".*</svg>[^<]*</a></li>" range.html
grep -oE '(src|href)="[^#]' range.html
grep -c "<script" range.html
true
