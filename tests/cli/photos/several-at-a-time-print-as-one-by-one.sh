sheet=$TESTIMAGES/sixteen-bits
rendered other
for format in table csv json; do
	woad measure --dry-run --format $format $sheet.png missing.jpg other.jpg 2>notes1 | grep -v seconds >one
	woad measure --dry-run --format $format --jobs 3 $sheet.png missing.jpg other.jpg 2>notes2 | grep -v seconds >two
	cmp one two
	cmp notes1 notes2
	wc -l <one | grep -qx 0 && echo nothing
done
woad measure --dry-run --format json --jobs 2 $sheet.png other.jpg 2>notes >whole
python3 -c 'import json; print([len(photo["readings"]) for photo in json.load(open("whole"))["photos"]])'
