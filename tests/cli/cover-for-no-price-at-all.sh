readings "Red Gate,45,55,30,1$DRY" "Tin Roof,60,0,-2,1$DRY"
printf 'Wet Paint,1.25\n' >cost.csv
woad cover --cost cost.csv
