readings "Raspberry 12,45,55,30,1$DRY"
printf "Raspberry 12,\n" >one.csv
printf "Raspberry 12,\n" >two.csv
woad order one.csv two.csv
