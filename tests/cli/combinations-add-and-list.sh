demo_range
woad combinations add "Flint Path" "Duckpond Rope" "Cold Frame" --mood tonal --note "bean packets" --at "2026-05-03 10:20 +01:00"
woad combinations add "Moss Hinge" "Straw Compass" --at "2026-05-02 10:20 +01:00"
woad combinations list
woad combinations --format csv
