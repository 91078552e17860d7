demo_range
woad combine "Duckpond Rope" --colours 4 --count 3
