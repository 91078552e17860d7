# Of two cards the better is used, and the other is a check of it.
rendered photo --cards 2
woad measure photo.jpg --dry-run --format json >measured.json || exit 97
python3 -c 'import json; card = json.load(open("measured.json"))["photos"][0]["card"]
print("second card within 2:", card["second_card_error"] < 2)'
