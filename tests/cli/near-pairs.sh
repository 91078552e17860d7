demo_range
woad near --pairs --within 1.5
