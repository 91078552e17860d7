demo_range
woad near "Currant Apron" --count 3
