readings "Red Gate,45,55,30,1$DRY" "Red Barn,40,50,28,1$DRY" "Grass Path,50,-40,30,1$DRY"
printf "Red Gate,Grass Path\n" >sheet.csv
woad order --slot "Red Barn" sheet.csv --write after.csv
cat after-1.csv after-2.csv
