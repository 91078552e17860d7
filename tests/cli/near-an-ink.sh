demo_range
woad near "Redcurrant 40" --count 3
