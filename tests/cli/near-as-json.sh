demo_range
woad near "Wet Slate" --count 1 --format json
