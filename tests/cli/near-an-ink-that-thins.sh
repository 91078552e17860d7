demo_range
woad near "Cornflower Latch" --count 1
