readings "Red Gate,45,55,30,1$DRY" "Red Barn,40,50,28,1$DRY" "Red Post,30,40,25,1$DRY"
printf "Red Gate,Red Poast,\n" >sheet.csv
woad order --slot "Red Barn" sheet.csv
