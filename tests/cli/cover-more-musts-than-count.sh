demo_range
woad cover --count 1 --must 'Cold Frame' --must 'Wet Slate'
