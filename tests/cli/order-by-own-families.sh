readings "Red Gate,45,55,30,1$DRY" "Red Barn,40,50,28,1$DRY" "Grass Path,50,-40,30,1$DRY" "Slate Roof,45,0,-1,1$DRY"
printf "Slate Roof,roofs\nRed Barn,roofs\n" >families.csv
woad order --families families.csv
