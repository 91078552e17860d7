demo_range
woad near --lab 50,20,30 --count 2 --format csv
