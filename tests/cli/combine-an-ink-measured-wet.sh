readings "Red Gate,45,55,30,1$WET"
woad combine "Red Gate"
