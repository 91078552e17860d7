demo_range
woad combine "Carrot 8" --mood contrast --count 2 --format csv
