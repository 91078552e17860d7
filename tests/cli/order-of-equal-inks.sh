readings "Red Gate,45,55,30,1$DRY" "Red Barn,45,55,30,1$DRY" "Red Post,45,55,30,1$DRY"
woad order
