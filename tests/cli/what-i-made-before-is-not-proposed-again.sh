demo_range
woad combinations add "Bay 84" "Chicory 43" "Harebell 86"
woad combine "Chicory 43" --count 3
