readings "Raspberry 12,45,55,30,1$WET"
woad order
