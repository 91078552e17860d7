readings "Juniper 1,40,-2,-6,2$DRY" "Millet 17,43,-2,-6,2$DRY"
woad cover
