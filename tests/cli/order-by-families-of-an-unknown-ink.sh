readings "Red Gate,45,55,30,1$DRY"
printf "Red Gete,roofs\n" >families.csv
woad order --families families.csv
