readings "Raspberry 12,45,55,30,1$DRY" "Loganberry 5,40,50,28,1$DRY" "Sorrel 94,50,-40,30,1$DRY"
printf "Raspberry 12,Sorrel 94\n" >sheet.csv
woad order --slot "Loganberry 5" sheet.csv --write after.csv
cat after-1.csv after-2.csv
