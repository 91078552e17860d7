demo_range
woad combine "Chicory 43" --count 1 --format json
