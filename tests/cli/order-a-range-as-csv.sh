readings "Raspberry 12,45,55,30,1$DRY" "Loganberry 5,40,50,28,1$DRY" "Sorrel 94,50,-40,30,1$DRY" "Lentil 6,45,0,-1,1$DRY" "Bilberry 9,20,0,0,1$DRY"
woad order --format csv
