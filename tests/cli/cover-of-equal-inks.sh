readings "Juniper 1,40,-2,-6,0$DRY" "Sunflower 3,40,-2,-6,0$DRY" "Millet 17,40,-2,-6,0$DRY"
woad cover --within 0
woad cover --count 2
