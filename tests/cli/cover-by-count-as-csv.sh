demo_range
woad cover --count 5 --format csv | cut -d, -f1,3-4,6-7 | head -12
