readings "Raspberry 12,45,55,30,1$DRY"
printf "Raspberry 12,\n" >sheet.csv
woad order --slot "Raspberry 12" sheet.csv
