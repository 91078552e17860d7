readings "Juniper 1,40,-2,-6,1$DRY" "Millet 17,80,-2,-6,1$DRY"
woad cover --never 'Millet 17'
