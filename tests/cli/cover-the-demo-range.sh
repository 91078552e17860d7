demo_range
woad cover --within 14
