readings "Raspberry 12,45,55,30,1$DRY" "Lentil 6,45,0,-1,1$DRY"
woad order --sheet 1x2 --format json
