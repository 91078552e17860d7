printf 'ink,L,a,b\n"<script>alert(1)</script> & ""Beet""",40,50,20\n' >names.csv
woad import names.csv 2>/dev/null || exit
woad report range.html 2>/dev/null || exit
grep -c "<script" range.html
grep -o "<h3>.*</h3>" range.html
