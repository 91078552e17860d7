demo_range
woad cover --count 2 --format csv | head -2
