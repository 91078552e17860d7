readings "Raspberry 12,45,55,30,1$DRY" "Loganberry 5,46,54,29,1$DRY" "Sunflower 3,60,0,-2,1$DRY"
printf '\357\273\277Ink;Price\nloganberry 5;4,50\nSunflower 3;2,00 EUR\nMangold 30;1.250,00\n' >cost.csv
woad cover --cost cost.csv | head -2
printf 'loganberry 5;4,50\n' >cost.csv
woad cover --cost cost.csv | head -1
printf 'Loganbery 5;4,50\n' >cost.csv
woad cover --cost cost.csv
printf 'Loganberry 5;1,250\n' >cost.csv
woad cover --cost cost.csv
