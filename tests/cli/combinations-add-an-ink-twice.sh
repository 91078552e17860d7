demo_range
woad combinations add "Blackcurrant 71" "Blackcurrant 71"
