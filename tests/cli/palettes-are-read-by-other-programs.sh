# What the range's colours are exported as is read by programs that share no code with woad, and says the
# same: Pillow's reader of GIMP palettes, the style sheets of tinycss2, XML of Python's own, CGATS through
# transicc of Little CMS; colormath says what sRGB an ink is (CIE and IEC 61966-2-1).
readings "Barley 37,81.7,8.4,35.3,0.7$DRY" "Beetroot 12,45.1,59.6,20.6,0.7$DRY" "Beetroot-12,30.2,2.5,-30.1,0.7$DRY" \
	"Cucumber 7,66,-80.5,45,0.7$DRY" "Κρεμμύδι <4> & co,52.3,-20,-35.4,0.7$DRY" "An ink with a name as long as ink names go,88.8,-1,1.5,0.7$DRY"
for format in gpl css svg cgats; do woad export --format $format >palette.$format || exit; done
woad export >readings.csv
# transicc asks nothing when its input is a file
transicc -n -i "*Lab" -o "*sRGB" -t1 palette.cgats converted.txt >/dev/null 2>&1 || exit
${PYTHON:-/usr/bin/python3} - <<'END'
import csv, shlex, xml.etree.ElementTree as tree
import tinycss2
from PIL import GimpPaletteFile
from colormath.color_objects import LabColor, sRGBColor
from colormath.color_conversions import convert_color

def cgats(path):
    sets, inside = [], False
    for line in open(path, encoding="utf-8"):
        if line.startswith("BEGIN_DATA_FORMAT"): inside = "fields"
        elif line.startswith("BEGIN_DATA"): inside = "sets"
        elif line.startswith("END_DATA"): inside = False
        elif inside == "fields": fields = line.split()
        elif inside == "sets": sets.append(dict(zip(fields, shlex.split(line))))
    return sets

sets = cgats("palette.cgats")
names = [ink["SAMPLE_NAME"] for ink in sets]
labs = [[float(ink["LAB_" + k]) for k in "LAB"] for ink in sets]
rows = {row["ink"]: row for row in csv.DictReader(open("readings.csv", encoding="utf-8"))}
print(len(sets), "inks; deviations as read:", all(
    abs(float(ink["STDEV_" + k.upper()]) ** 2 - float(rows[ink["SAMPLE_NAME"]]["shared_" + k + k]) - float(rows[ink["SAMPLE_NAME"]]["own_" + k + k])) < 1e-3
    for ink in sets for k in ("L", "a", "b")))

wanted = []
for L, a, b in labs:
    rgb = convert_color(LabColor(L, a, b, observer="2", illuminant="d50"), sRGBColor)
    wanted.append([round(255 * value) for value in (rgb.clamped_rgb_r, rgb.clamped_rgb_g, rgb.clamped_rgb_b)])
near = lambda seen: [max(abs(x - y) for x, y in zip(*pair)) for pair in zip(seen, wanted)]

converted = [[float(ink["RGB_" + k]) for k in "RGB"] for ink in cgats("converted.txt")]
clipped = [min(rgb) < -0.5 or max(rgb) > 255.5 for rgb in converted]
print("cgats through transicc: off by at most", round(max(near([[min(max(v, 0), 255) for v in rgb] for rgb in converted]))), "of 255")

with open("palette.gpl", "rb") as file:
    colours = GimpPaletteFile.GimpPaletteFile(file).palette
head = 3 # it counts the lines of the head as colours
gpl = [list(colours[3 * i:3 * i + 3]) for i in range(head, head + len(sets))]
lines = [line.split("\t")[1].rstrip("\n") for line in open("palette.gpl", encoding="utf-8") if "\t" in line]
print("gpl: off by at most", max(near(gpl)), "of 255; names", lines == [name + " *" * mark for name, mark in zip(names, clipped)])

found = {}
def gather(rules):
    for rule in rules:
        if rule.type == "at-rule": gather(tinycss2.parse_rule_list(rule.content, skip_whitespace=True))
        if rule.type == "qualified-rule":
            for d in tinycss2.parse_declaration_list(rule.content, skip_whitespace=True, skip_comments=True):
                if d.type == "error": print("css:", d.message)
                found.setdefault(d.name, []).append([t for t in d.value if t.type != "whitespace"])
gather(tinycss2.parse_stylesheet(open("palette.css", encoding="utf-8").read(), skip_whitespace=True, skip_comments=True))
css = [[int(two[0][0].value[i:i + 2], 16) for i in (0, 2, 4)] for two in found.values()]
lab = [[t.value for t in two[1][0].arguments if t.type in ("number", "percentage")] for two in found.values()]
print("css: off by at most", max(near(css)), "of 255;", len(found), "names; lab() off by at most %.2f" %
      max(abs(x - y) for pair in zip(lab, labs) for x, y in zip(*pair)))
print(" ".join(found))

space = "{http://www.w3.org/2000/svg}"
tiles = tree.parse("palette.svg").getroot().findall(space + "g")
svg = [[int(tile.find(space + "rect").get("fill")[i:i + 2], 16) for i in (1, 3, 5)] for tile in tiles]
print("svg: off by at most", max(near(svg)), "of 255; names",
      [tile.find(space + "title").text for tile in tiles] == [name + " *" * mark for name, mark in zip(names, clipped)])
END
woad export --format gif 2>&1
woad export --format gpl --inventory none.db 2>&1 | grep -c "none.db"
