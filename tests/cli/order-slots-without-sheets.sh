readings "Red Gate,45,55,30,1$DRY"
woad order --slot "Red Gate"
