demo_range
woad near "Cornflower 30" --count 1
