readings "Raspberry 12,45,55,30,1$DRY" "Loganberry 5,46,54,29,1$DRY" "Sunflower 3,60,0,-2,1$DRY"
printf 'Loganberry 5,3.50\nSunflower 3,2\nMangold 30,1.25\n' >cost.csv
woad cover --cost cost.csv
