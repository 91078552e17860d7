# HEIC as a phone saves it: stored on its side, the turn told twice, with a thumbnail.
sheet=$TESTIMAGES/from-a-phone
woad measure $sheet.heic --names $sheet.names.csv --more --format csv >measured.csv 2>notes
status=$?
if grep -q 'built without libheif' notes; then
	cat "$SOURCE/tests/cli/photos/a-photo-from-a-phone.stdout"
	exit 0
fi
[ $status -eq 0 ] || cat notes
grep -o 'taken 2026-05-03 10:20:00 +01:00 (the photo.s own time)' notes
grep -c 'no colour profile' notes
python3 - <<'END'
import csv
import os

with open(os.environ["TESTIMAGES"] + "/from-a-phone.truth.csv", encoding="utf-8") as file:
    truth = {(row["row"], row["column"]): row for row in csv.DictReader(file) if row["item"] == "cell"}
with open("measured.csv", encoding="utf-8") as file:
    measured = list(csv.DictReader(file))
far = [sum((float(row[k]) - float(truth[row["row"], row["column"]][k])) ** 2 for k in "Lab") ** 0.5
       for row in measured]
print(len(far), "cells, in the truth's order:",
      all(row["ink"] == truth[row["row"], row["column"]]["name"] for row in measured))
print("CIE 1976 distance from the truth, mean below 3, most below 8:", sum(far) / len(far) < 3, max(far) < 8)
END
