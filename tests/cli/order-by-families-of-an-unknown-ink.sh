readings "Raspberry 12,45,55,30,1$DRY"
printf "Raspbery 12,roofs\n" >families.csv
woad order --families families.csv
