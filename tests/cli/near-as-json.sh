demo_range
woad near "Juniper 1" --count 1 --format json
