demo_range
woad cover --must 'Cold Frame' --never 'Cold Frame'
