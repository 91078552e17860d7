demo_range
woad import "$TESTIMAGES/demo-range.csv"
woad export | wc -l
