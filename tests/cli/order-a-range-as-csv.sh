readings "Red Gate,45,55,30,1$DRY" "Red Barn,40,50,28,1$DRY" "Grass Path,50,-40,30,1$DRY" "Slate Roof,45,0,-1,1$DRY" "Coal Hole,20,0,0,1$DRY"
woad order --format csv
