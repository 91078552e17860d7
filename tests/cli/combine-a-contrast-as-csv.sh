demo_range
woad combine "Carrot Lantern" --mood contrast --count 2 --format csv
