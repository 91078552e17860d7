demo_range
woad cover --count 5 --worst --format csv | cut -d, -f1,3,5,7-8 | head -12
