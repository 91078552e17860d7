readings "Juniper 1,40,-2,-6,1$WET" "Sunflower 3,41,-2,-6,1$DRY"
woad near 'Juniper 1'
