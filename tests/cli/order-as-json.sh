readings "Red Gate,45,55,30,1$DRY" "Slate Roof,45,0,-1,1$DRY"
woad order --sheet 1x2 --format json
