demo_range
woad combinations add "Blackcurrant 71"
