# A photo is sent, looked at, named, kept and taken out again through the page; the readings are those
# of the command line.
rendered sheet
woad page --no-browser >address 2>said &
page=$!
for _ in 1 2 3 4 5 6 7 8 9 10; do
	[ -s address ] && break
	sleep 0.3
done
address=$(cat address)
origin=${address%/open*}
# ask OPTION... ADDRESS: the answer as the file 'body', its status printed.
ask() {
	curl -s -b jar -o body -w '%{http_code}' "$@"
}
# tell DO FIELD...: send the form of the photo's view, as it stands there, with one button.
tell() {
	ask "$origin$photo" >/dev/null
	grep -o '<input [^>]*name="[^"]*"[^>]*value="[^"]*"' body | grep -v checkbox |
		sed 's/.*name="\([^"]*\)".*value="\([^"]*\)"/\1=\2/' | grep -v '^[a-z-]*[0-9-]*=$' >fields
	told="--data-urlencode do=$1"
	shift
	for field; do
		told="$told --data-urlencode $field"
	done
	# shellcheck disable=SC2046,SC2086 # each field is a word
	ask $told $(sed 's/ /%20/g; s/^/-d /' fields) "$origin$photo"
}
curl -s -c jar -o body "$address"
ask "$origin/photos" >/dev/null
token=$(sed -n 's/.*data-token="\([0-9a-f]*\)".*/\1/p' body)

echo "without the token: $(ask -T sheet.jpg "$origin/photo?name=sheet.jpg")"
echo "with it: $(ask -T sheet.jpg -H "Woad-Token: $token" "$origin/photo?name=sheet.jpg")"
photo=$(cat body)
echo "private: $(ls -l inventory.db.photos | sed -n 's/^\(-[a-z-]*\) .*/\1/p' | sort -u)"
echo "its view: $(ask "$origin$photo"), cells outlined: $(grep -c 'href="#cell-' body)"
echo "its picture: $(ask "$origin/picture${photo#/photo}"), $(head -c 3 body | od -An -tx1 | tr -d ' ')"
echo "named: $(tell lay pasted@sheet.names.csv)"
echo "kept: $(tell keep batch=6)"
ask "$origin$photo" >/dev/null
grep -o 'Kept: .* inventory' body
woad export --format csv | columns ink batch L a b | sort >page.csv
woad measure sheet.jpg --names sheet.names.csv --batch 6 --inventory other.db >/dev/null 2>&1
woad export --format csv --inventory other.db | columns ink batch L a b | sort >command.csv
cmp page.csv command.csv && echo "as the command line has it: $(wc -l <page.csv) lines"
echo "kept twice: $(tell keep batch=6)"
grep -o 'the same photo is in the inventory already' body
echo "taken out: $(tell forget), readings left: $(woad export --format csv | tail -n +2 | wc -l)"
echo "undone: $(ask -d "token=$token" "$origin/undo"), readings left: $(woad export --format csv | tail -n +2 | wc -l)"
echo "cleared: $(ask -d "token=$token&do=clear-all" "$origin/photos"), files left: $(ls inventory.db.photos | wc -l)"
kill -TERM "$page"
wait "$page"
echo "ended: $?"
