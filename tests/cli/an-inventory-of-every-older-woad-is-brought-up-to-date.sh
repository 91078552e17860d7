# Inventories as each older woad left them: brought up to date every value of every row is kept, but for swatches
# without a name, which were once inks called after their cell; a copy of what was stays beside.
older=${HELPERS%/*}/older
for file in "$older"/version-*.sql; do
	version=$(basename "$file" .sql)
	mkdir "$version" && sqlite3 "$version/old.db" <"$file" && cp "$version/old.db" "$version/inks.db" || exit
	woad combinations add "Barley 37" "Leek 14" --inventory "$version/inks.db" --again >/dev/null 2>said || { cat said; exit 97; }
	python3 - "$version" <<'END'
import glob, sqlite3, sys
version = sys.argv[1]
old, new = (sqlite3.connect(f"{version}/{name}.db") for name in ("old", "inks"))
def rows(inventory, table):
    columns = [row[1] for row in inventory.execute(f"PRAGMA table_info({table})")]
    keys = [row[1] for row in inventory.execute(f"PRAGMA table_info({table})") if row[5]]
    return {tuple(row[columns.index(key)] for key in keys): dict(zip(columns, row))
            for row in inventory.execute(f"SELECT * FROM {table}")}
renamed = {"evenness": "unevenness"}
unwritten = {("ink", "family"): None, ("reading", "part"): "full", ("blend", "photo_id"): None} # by any woad
kept, changed = 0, []
for table, in old.execute("SELECT name FROM sqlite_master WHERE type = 'table' ORDER BY name").fetchall():
    now = rows(new, table)
    for key, row in rows(old, table).items():
        for column, value in row.items():
            if unwritten.get((table, column), ...) == value and column not in now[key]:
                continue
            if now[key].get(renamed.get(column, column), "lost") != value:
                changed.append(f"{table} {key[0]}: {column} {value} is {now[key].get(renamed.get(column, column))}")
        kept += 1
copies = glob.glob(f"{version}/inks.db.copies/*")
as_it_was = [sorted(sqlite3.connect(copy).iterdump()) == sorted(old.iterdump()) for copy in copies]
changed += [f"swatch {key}: batch_told {label}" for key, label in
            new.execute("SELECT id, batch_told FROM swatch WHERE ink_id IS NULL")]
print(version, f"{kept} rows, copies as it was: {as_it_was}", *changed, sep="\n  ")
END
	woad inventory verify --inventory "$version/inks.db" | sed "s/.*inks.db is/it is/"
	woad export --inventory "$version/inks.db" 2>/dev/null | columns ink row column found L u95 | sort | cksum
done
woad show "Sorrel 1" --inventory version-1/inks.db --format csv 2>/dev/null | columns batch paper found L a b u95
