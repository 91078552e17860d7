readings "Red Gate,45,55,30,1$WET" "Red Barn,40,50,28,1$DRY"
woad combinations forecast "Red Barn" "Red Gate"
