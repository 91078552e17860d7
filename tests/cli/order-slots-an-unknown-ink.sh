readings "Red Gate,45,55,30,1$DRY"
printf "Red Gate,\n" >sheet.csv
woad order --slot "Red Gote" sheet.csv
