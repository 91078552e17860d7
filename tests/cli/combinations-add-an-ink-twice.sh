demo_range
woad combinations add "Flint Path" "Flint Path"
