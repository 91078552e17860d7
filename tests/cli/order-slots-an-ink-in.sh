readings "Red Gate,45,55,30,1$DRY" "Red Barn,40,50,28,1$DRY" "Red Post,30,40,25,1$DRY" "Grass Path,50,-40,30,1$DRY" "Moss Wall,40,-30,25,1$DRY"
printf "Red Gate,Red Post,Grass Path\nMoss Wall,,\n" >sheet.csv
woad order --slot "Red Barn" sheet.csv --write after.csv
cat after.csv
