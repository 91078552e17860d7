demo_range
woad order --sheet 8x8
