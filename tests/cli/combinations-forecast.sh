demo_range
woad combinations forecast "Cowslip Letter" "Duckpond Rope" "Flint Path"
