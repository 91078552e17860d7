demo_range
woad near "Currant Apron" --pairs
