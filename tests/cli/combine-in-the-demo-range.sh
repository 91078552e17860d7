demo_range
woad combine "Broccoli 54" --colours 4 --count 3
