readings "Red Gate,45,55,30,1$DRY" "Red Barn,46,54,29,1$DRY" "Tin Roof,60,0,-2,1$DRY"
printf 'Red Barn,3.50\nTin Roof,2\nWet Paint,1.25\n' >cost.csv
woad cover --cost cost.csv
