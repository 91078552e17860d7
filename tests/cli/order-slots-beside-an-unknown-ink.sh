readings "Raspberry 12,45,55,30,1$DRY" "Loganberry 5,40,50,28,1$DRY" "Rosehip 8,30,40,25,1$DRY"
printf "Raspberry 12,Rosehipp 8,\n" >sheet.csv
woad order --slot "Loganberry 5" sheet.csv
