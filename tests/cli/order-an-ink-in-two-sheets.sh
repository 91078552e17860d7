readings "Red Gate,45,55,30,1$DRY"
printf "Red Gate,\n" >one.csv
printf "Red Gate,\n" >two.csv
woad order one.csv two.csv
