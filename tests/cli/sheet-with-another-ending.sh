demo_range
woad sheet range wall.jpg
