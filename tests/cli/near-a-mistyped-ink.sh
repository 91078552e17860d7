demo_range
woad near "Redcurant 40"
