demo_range
woad cover --count 1 --must 'Garlic 67' --must 'Juniper 1'
