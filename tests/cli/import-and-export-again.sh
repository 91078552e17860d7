demo_range
woad export >first.csv
woad import first.csv --inventory other.db
woad export --inventory other.db | cmp - first.csv && wc -l <first.csv
