demo_range
woad near --pairs --within 0
