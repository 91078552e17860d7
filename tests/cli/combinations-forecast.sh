demo_range
woad combinations forecast "Cowslip 77" "Broccoli 54" "Blackcurrant 71"
