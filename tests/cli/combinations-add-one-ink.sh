demo_range
woad combinations add "Flint Path"
