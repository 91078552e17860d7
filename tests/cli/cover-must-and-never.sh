demo_range
woad cover --must 'Garlic 67' --never 'Garlic 67'
