# Names that are markup, formulas, styles or commands somewhere stand in every output as they are, and nothing
# beside them changes; those that would steer a terminal or turn the writing round are refused.
cat >names.py <<'END'
import csv, sys
harm = ["<script>alert(1)</script>", '" onmouseover="alert(2)', "'; DROP TABLE ink; --", "Kale & <b>Leek</b>",
        "=1+1", "+SUM(A1)", "-2+3", "@SUM(A1)", "*/ body { display: none }", "</style><svg onload=alert(3)>",
        "%n%s%d", "../../etc/passwd", "M" * 60, "]]> <!-- x", "(paren\\)) Tj", '\\"; }', "a,b;c", '"quoted"',
        "${HOME} `id`", "\u0628\u0635\u0644 3"]
def write(path, names):
    with open(path, "w", newline="", encoding="utf-8") as file:
        rows = csv.writer(file)
        rows.writerow("ink,L,a,b,u95,inked_at,taken,found".split(","))
        for i, name in enumerate(names):
            rows.writerow([name, 30 + 2 * i, 10 + i, i - 10, 0.5, "2026-04-01 10:00 Z", "2026-04-05 10:00 Z", "ink"])
END
python3 - <<'END' || exit
from names import *
write("harm.csv", harm)
write("plain.csv", [f"Plot {chr(97 + i)}" for i in range(len(harm))])
write("turned.csv", ["\u202egnol"])
write("red.csv", ["\x1b[31mred"])
END
woad import turned.csv
woad import red.csv
for kind in harm plain; do
	export WOAD_INVENTORY=$kind.db
	woad import $kind.csv --new-inks 2>/dev/null || exit
	woad report $kind.html 2>/dev/null && woad export --format svg >$kind.svg && woad export --format css >$kind.css &&
		woad export --format gpl >$kind.gpl && woad export >$kind-out.csv && woad inks >$kind.txt 2>/dev/null &&
		woad inks --format json >$kind.json 2>/dev/null || exit
	for sheet in labels range chart; do
		woad sheet $sheet $kind-$sheet.pdf 2>/dev/null && woad sheet $sheet $kind-$sheet.svg 2>/dev/null || exit
	done
	woad page --no-browser >address 2>/dev/null &
	page=$!
	for _ in 1 2 3 4 5 6 7 8 9 10; do
		[ -s address ] && break
		sleep 0.3
	done
	curl -s -o /dev/null -c jar "$(cat address)"
	origin=$(sed 's,/open.*,,' address)
	curl -s -b jar "$origin/" >$kind-page.html
	curl -s -b jar "$origin$(grep -o 'href="/ink[^"]*"' $kind-page.html | head -1 | cut -d '"' -f 2)" >$kind-ink.html
	kill $page
	wait $page
	rm -f address
done
woad import harm-out.csv --new-inks --inventory again.db 2>/dev/null
woad export --inventory again.db 2>/dev/null | cmp - harm-out.csv && echo "exported and imported they are the same"
${PYTHON:-/usr/bin/python3} - <<'END'
import csv, glob, html.parser, json, re, unicodedata
import xml.etree.ElementTree as xml
from names import harm

class Structure(html.parser.HTMLParser):
    """Elements with their attributes' names, and the text between them."""
    def __init__(self, path):
        super().__init__()
        self.elements, self.text = [], []
        self.feed(open(path, encoding="utf-8").read())
    def handle_starttag(self, tag, attrs):
        self.elements.append((tag, sorted(name for name, _ in attrs)))
    def handle_data(self, data):
        self.text.append(data)

def count(wanted, text):
    return sum(name in text for name in wanted)

for page in ("", "-page", "-ink"):
    seen, plain = Structure(f"harm{page}.html"), Structure(f"plain{page}.html")
    same = sorted(map(str, seen.elements)) == sorted(map(str, plain.elements))
    print(f"page{page}:", "the same elements" if same else "OTHER ELEMENTS", count(harm, "".join(seen.text)), "names as text")
for path in sorted(glob.glob("harm*.svg")):
    tags = {re.sub("{.*}", "", element.tag) for element in xml.parse(path).iter()}
    bad = [name for element in xml.parse(path).iter() for name in element.attrib if name.startswith("on")]
    print(path, "no script" if not bad and "script" not in tags else "SCRIPT")
import tinycss2
def rules(kind):
    parsed = tinycss2.parse_stylesheet(open(f"{kind}.css", encoding="utf-8").read(), skip_comments=True, skip_whitespace=True)
    return [[token.type for token in tinycss2.parse_declaration_list(rule.content, skip_comments=True, skip_whitespace=True)] for rule in parsed]
print("css:", "the same rules" if rules("harm") == rules("plain") else "OTHER RULES")
print("palette:", "as many lines" if len(open("harm.gpl").readlines()) == len(open("plain.gpl").readlines()) else "OTHER LINES")
raw = [field for row in csv.reader(open("harm-out.csv", newline="", encoding="utf-8")) for field in row]
print("formulas in the CSV:", [field for field in raw if re.match(r"[=+@\t\r]|-[^0-9.]", field)])
told = json.load(open("harm.json", encoding="utf-8"))
rows = told if isinstance(told, list) else next(value for value in told.values() if isinstance(value, list))
print("json:", count(harm, [row["ink"] for row in rows]), "names")
text = open("harm.txt", encoding="utf-8").read()
print("terminal:", count(harm, text), "names,", sorted({unicodedata.category(c) for c in text if c != "\n"} & {"Cc", "Cf"}), "controls")
for path in sorted(glob.glob("harm-*.pdf")):
    print(path, "no action" if not re.search(rb"/(JavaScript|JS|Launch|URI|OpenAction|AA)\b", open(path, "rb").read()) else "AN ACTION")
END
for sheet in labels range chart; do
	pdftotext harm-$sheet.pdf - 2>&1 | tr -d ' \n' | grep -c 'Kale&<b>Leek</b>'
done
