readings "Raspberry 12,45,55,30,1$DRY" "Sunflower 3,60,0,-2,1$DRY"
printf 'Mangold 30,1.25\n' >cost.csv
woad cover --cost cost.csv
