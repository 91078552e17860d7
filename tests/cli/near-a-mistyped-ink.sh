demo_range
woad near "Curant Apron"
